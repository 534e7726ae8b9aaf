import type { LimitId } from "../../src/machine/limit.ts";
import type {
  AxisResult,
  BusResult,
  InfeasibleAxis,
  LimitResult,
  MachineResult,
  ResultDocument,
  RideDownResult,
} from "../../src/machine/result.ts";
import { type AxisFacts, cautionsFor } from "../../src/report/cautions.ts";

/** One checked limit; utilisation follows from the two numbers as the result document defines it. */
function limit(id: LimitId, numbers: readonly [number, number], unit: string, time?: number): LimitResult {
  const [demand, allowed] = numbers;
  const utilisation = allowed === 0 ? (demand === 0 ? 0 : null) : demand / allowed;
  return { id, demand, allowed, unit, utilisation, ...(time === undefined ? {} : { time }) };
}

const NOT_LIMITED = { limits: [], reason: "cheapest", price: 0, next_step: null } as const;

/** An axis of the sample machine; invented parts. */
export function axis(id: string, changes: Partial<AxisResult> = {}): AxisResult {
  return {
    id,
    bus: "main",
    motor: "M80-3",
    motor_maker: "Ostrava Invented",
    motor_frame: "80",
    construction: "slotted",
    brake: false,
    gearbox: "P80-7",
    gearbox_maker: "Gearmade (invented)",
    ratio: 7,
    drive: "D10",
    drive_maker: "Ostrava Invented",
    inductor: null,
    inductor_maker: null,
    price: 2106,
    carried_mass: 0,
    limits: [
      limit("motor.inertia_ratio", [9.6, 10], "1"),
      limit("gearbox.mean_torque", [35.2, 40], "N*m"),
      limit("motor.peak_torque", [8.16, 9.6], "N*m", 0.42),
      limit("motor.speed", [2890, 6000], "rpm", 0.42),
    ],
    not_checked: [],
    settings: { current_limit: 6.8349 },
    drop: null,
    region: { speed: [0, 3000, 4500], peak: [7.2, 7.2, 3.1], continuous: [2.4, 2.1, 1.7] },
    starts_per_hour: 2250,
    binding: {
      limits: ["motor.inertia_ratio"],
      price: 912,
      next_step: {
        share: 0.0361,
        relief: [{ id: "motor.inertia_ratio", demand: 10.361, allowed: 10, relief: 0.361, unit: "1" }],
        part: "M60-4",
        pick: { motor: "M60-4", gearbox: "P80-7", ratio: 7, drive: "D10" },
        total: 24306,
        least: true,
      },
      unlimited: { motor: "M60-2", gearbox: "P60-5", ratio: 5, drive: "D06" },
    },
    candidates: { judged: 21000, passed: 312 },
    ...changes,
  };
}

/** A bus that carries its lift until the brake grips. */
export const RIDE_DOWN: RideDownResult = {
  ramp: { value: 0.3, assumed: false },
  axes: [
    { id: "lift", brake: true },
    { id: "press", brake: true },
  ],
  brakes_grip: 0.325,
  bus_min: 280,
  unknown: [],
  start_voltage: 486,
  lowest_voltage: 431.26,
  lowest_after: 0.325,
  lost_after: null,
  time: 1.2,
  carries: true,
};

/** A bus of the sample machine. */
function bus(id: string, changes: Partial<BusResult> = {}): BusResult {
  return {
    id,
    supply: "B3",
    supply_maker: "Ostrava Invented",
    resistor: "R60",
    resistor_maker: "Warmth (invented)",
    price: 640,
    limits: [
      limit("supply.peak_power", [3912, 6000], "W", 1.31),
      limit("supply.continuous_power", [811, 1500], "W"),
      limit("resistor.peak_power", [2240, 5200], "W", 2.04),
      limit("resistor.continuous_power", [96, 300], "W"),
      limit("supply.capacitance", [0.00141, 0.0047], "F"),
    ],
    not_checked: [],
    ride_down: null,
    binding: NOT_LIMITED,
    next_part: { supply: "B5", resistor: "R60", total: 25_258 },
    ...changes,
  };
}

const LIFT = axis("lift", {
  motor: "M80-2B",
  brake: true,
  ratio: 4,
  gearbox: "P80-4",
  price: 1874,
  limits: [
    limit("drive.peak_current", [9.08, 9.5], "A", 1.31),
    limit("motor.continuous_torque", [2.18, 2.4], "N*m"),
    limit("motor.brake", [2.96, 4], "N*m"),
    limit("motor.inertia_ratio", [4.4, 10], "1"),
  ],
  not_checked: [{ id: "gearbox.emergency_torque", missing: "emergency_torque" }],
  settings: { current_limit: 9.5 },
  drop: { brake_close_time: 0.06, from_standstill: 0.0012, from_motion: 0.0116, unit: "m" },
  binding: {
    limits: ["drive.peak_current", "motor.continuous_torque"],
    price: 1288,
    next_step: {
      share: 0.12,
      relief: [
        { id: "drive.peak_current", demand: 6.72, allowed: 6, relief: 0.72, unit: "A" },
        { id: "motor.continuous_torque", demand: 2.31, allowed: 2.2, relief: 0.11, unit: "N*m" },
      ],
      part: "M60-4B",
      pick: { motor: "M60-4B", gearbox: "P80-4", ratio: 4, drive: "D06" },
      total: 23_690,
    },
  },
});

const GRIPPER = axis("gripper", {
  motor: "S40-1",
  motor_frame: "40",
  construction: "slotless",
  gearbox: null,
  gearbox_maker: null,
  ratio: 1,
  drive: "D06",
  inductor: "L2",
  inductor_maker: "Warmth (invented)",
  price: 862.5,
  limits: [
    limit("motor.detent", [0, 0.05], "N*m"),
    limit("drive.ripple_current", [0.21, 0.4], "A"),
    limit("motor.resolution", [0.0001, 0.0005], "rad"),
    limit("motor.speed_ripple", [0.0021, 0.02], "1"),
  ],
  settings: { current_limit: 2.1 },
  binding: {
    limits: ["motor.detent"],
    price: 240,
    next_step: {
      share: 0.8,
      relief: [{ id: "motor.detent", demand: 0.09, allowed: 0.05, relief: 0.04, unit: "N*m" }],
      part: "M40-1",
      pick: { motor: "M40-1", gearbox: null, ratio: 1, drive: "D06" },
      total: 24_738,
    },
  },
});

const ROLLERS = axis("rollers", { price: 1106, binding: NOT_LIMITED, settings: { current_limit: 5.25 } });

/** Facts of the sample axes for the cautions. */
export function facts(name: string, changes: Partial<AxisFacts> = {}): AxisFacts {
  return {
    name,
    gravity: false,
    brakeNeed: undefined,
    brake: false,
    selfLocking: false,
    feedback: "encoder-absolute",
    startsPerHour: 600,
    gearbox: "P80-7",
    motor: "M80-3",
    drop: null,
    ...changes,
  };
}

function machine(id: string, changes: Partial<MachineResult> = {}): MachineResult {
  const axes = [axis("traverse"), LIFT, GRIPPER, ROLLERS];
  return {
    id,
    quantity: 4,
    totals: { price: 5482, mass: 31.25, cabinet_width: 0.265, energy: 1210.4 },
    buses: [bus("main")],
    modules: axes.map(({ id: name, drive, drive_maker, bus: on }) => ({ drive, drive_maker, bus: on, axes: [name] })),
    axes,
    limits: [],
    ...changes,
  };
}

/** A whole answer, proven lowest, with a cap that costs money and a value that was not known. */
export function optimalDocument(changes: Partial<ResultDocument> = {}): ResultDocument {
  const terms = { purchase: 21_928, energy: 0, variety: 3050, mass: 0, cabinet_width: 0, lead_time: 0 };
  return {
    format: "fewframe-result/1",
    fewframe: "0.1.0",
    title: "Tray shuttle (invented)",
    currency: "EUR",
    status: "optimal",
    objective: { total: 24_978, terms },
    bound: 24_978,
    gap: 0,
    machines: [machine("tray-shuttle")],
    limits: [
      {
        ...limit("caps.frames", [2, 2], "count"),
        price: 450,
        next_step: {
          share: 0.5,
          relief: [{ id: "caps.frames", demand: 3, allowed: 2, relief: 1, unit: "count" }],
          part: "",
          total: 24_678,
        },
      },
    ],
    parts: [
      {
        kind: "motor",
        id: "M80-3",
        maker: "Ostrava Invented",
        quantity: 8,
        unit_price: 712,
        used_by: ["traverse", "rollers"],
      },
      { kind: "motor", id: "M80-2B", maker: "Ostrava Invented", quantity: 4, unit_price: 836.5, used_by: ["lift"] },
      { kind: "motor", id: "S40-1", maker: "Ostrava Invented", quantity: 4, unit_price: 455, used_by: ["gripper"] },
      {
        kind: "gearbox",
        id: "P80-7",
        maker: "Gearmade (invented)",
        quantity: 8,
        unit_price: 402,
        used_by: ["traverse", "rollers"],
      },
      { kind: "gearbox", id: "P80-4", maker: "Gearmade (invented)", quantity: 4, unit_price: 388, used_by: ["lift"] },
      {
        kind: "drive",
        id: "D10",
        maker: "Ostrava Invented",
        quantity: 12,
        unit_price: 610,
        used_by: ["traverse", "lift", "rollers"],
      },
      { kind: "drive", id: "D06", maker: "Ostrava Invented", quantity: 4, unit_price: 398, used_by: ["gripper"] },
      { kind: "inductor", id: "L2", maker: "Warmth (invented)", quantity: 4, unit_price: 9.5, used_by: ["gripper"] },
      { kind: "supply", id: "B3", maker: "Ostrava Invented", quantity: 4, unit_price: 580, used_by: ["main"] },
      { kind: "resistor", id: "R60", maker: "Warmth (invented)", quantity: 4, unit_price: 60, used_by: ["main"] },
    ],
    distinct: { motors: 3, frames: 2, gearboxes: 2, drives: 2, makers: 3, parts: 10 },
    rejections: ["traverse", "lift", "gripper", "rollers"].map((name) => ({
      machine: "tray-shuttle",
      axis: name,
      judged: 21_000,
      passed: 312,
      unfit: { feedback: 120, frame: 5400 },
      first: { "motor.peak_torque": 12_000, "motor.speed": 8688 },
      worst: { "motor.peak_torque": 9000, "motor.inertia_ratio": 8000, "motor.speed": 3688 },
    })),
    infeasible: [],
    unknowns: [
      {
        part: "P80-4",
        maker: "Gearmade (invented)",
        missing: "emergency_torque",
        limits: ["gearbox.emergency_torque"],
        used_by: ["lift"],
      },
    ],
    cautions: cautionsFor({
      axes: [
        facts("traverse", { startsPerHour: 2250 }),
        facts("lift", { gravity: true, brake: true, motor: "M80-2B", gearbox: "P80-4", drop: LIFT.drop }),
        facts("gripper", { feedback: "encoder-incremental", gearbox: null, motor: "S40-1" }),
        facts("rollers"),
      ],
      buses: [{ name: "bus main", supply: "B3", resistor: "R60", voltage: 780, rideDown: null }],
      parts: [{ name: "M80-3", constantsRatio: 1.09, dearerStep: true }],
    }),
    defaults: [
      { at: "/site/altitude", value: "0 m", count: 1 },
      { at: "motors.csv winding_limit", value: "130 degC", count: 22 },
    ],
    inputs: {
      problem: { path: "problems/shuttle.json", sha256: "0".repeat(64) },
      catalogs: [{ path: "catalogs/ostrava/motors.csv", sha256: "f".repeat(64) }],
    },
    certificate: null,
    engine: "simplex",
    timing: { solve: 0.41 },
    ...changes,
  };
}

/** Stopped at the time limit with an answer and an honest gap; explanation left out. */
export function gapDocument(): ResultDocument {
  const notSearched = { limits: [], reason: "not-searched", price: 0, next_step: null } as const;
  const axes = [axis("traverse", { binding: notSearched }), { ...LIFT, binding: notSearched }];
  return optimalDocument({
    status: "feasible",
    bound: 24_100.5,
    gap: 0.03513,
    machines: [machine("tray-shuttle", { axes, buses: [bus("main", { binding: null, next_part: null })] })],
    limits: [],
  });
}

/** Several machines, many axes with long names, two buses, two-channel drives, other weights. */
export function portfolioDocument(): ResultDocument {
  const names = Array.from({ length: 16 }, (_, index) => `station-${index + 1}-of-the-long-indexing-conveyor`);
  const shared = { ...axis("x"), drive: "DD06-two-channel-with-a-rather-long-part-number" };
  const many = names.map((id, index) => ({ ...shared, id, bus: index % 2 === 0 ? "main" : "low" }));
  const pairs = [0, 1].flatMap((side) =>
    [0, 4, 8, 12].map((at) => ({
      drive: shared.drive,
      drive_maker: shared.drive_maker,
      bus: side === 0 ? "main" : "low",
      axes: [names[at + side] ?? "", names[at + side + 2] ?? ""],
    })),
  );
  const conveyor = machine("indexing-conveyor", {
    quantity: 12,
    axes: many,
    modules: pairs,
    buses: [
      bus("main", { ride_down: RIDE_DOWN }),
      bus("low", { supply: null, supply_maker: null, resistor: null, resistor_maker: null, limits: [] }),
    ],
    totals: { price: 33_918.75, mass: 212.5, cabinet_width: 1.4, energy: 22_114 },
    limits: [{ ...limit("machine.cabinet_width", [1.4, 1.4], "m"), price: 812.25 }],
  });
  const terms = { purchase: 428_953, energy: 91_200.33, variety: 3050, mass: 1200, cabinet_width: 80, lead_time: 14 };
  // The samples name totals of the small order; here they keep their distance to the large one.
  const shift =
    terms.purchase + terms.energy + terms.variety + terms.mass + terms.cabinet_width + terms.lead_time - 24_978;
  const shifted = <T>(value: T): T =>
    JSON.parse(JSON.stringify(value), (key, each) => (key === "total" ? each + shift : each));
  return optimalDocument({
    title: "Family of tray machines for the long greenhouse hall, all of it invented, with a long title",
    machines: shifted([machine("tray-shuttle"), conveyor]),
    limits: shifted(optimalDocument().limits),
    objective: { total: 524_497.33, terms },
    bound: 524_497.33,
  });
}

/** No candidate on two axes, and a conflict of the whole order. */
export function infeasibleDocument(): ResultDocument {
  const nearest = {
    motor: "M80-3",
    gearbox: "P80-4",
    ratio: 4,
    drive: "D10",
    fails: [limit("motor.continuous_torque", [4.1, 3.6], "N*m"), limit("motor.peak_torque", [10.4, 9.6], "N*m", 0.42)],
    not_checked: [],
  };
  const lift: InfeasibleAxis = {
    machine: "tray-shuttle",
    axis: "lift",
    limits: ["motor.continuous_torque"],
    relief: [{ id: "motor.continuous_torque", demand: 4.1, allowed: 3.6, relief: 0.5, share: 0.1389, unit: "N*m" }],
    not_checked: [],
    nearest: [nearest, { ...nearest, gearbox: null, ratio: 1, fails: [limit("motor.brake", [3.2, 0], "N*m")] }],
    note: "",
  };
  const order: InfeasibleAxis = {
    machine: null,
    axis: null,
    limits: ["caps.frames", "machine.price"],
    relief: [],
    not_checked: [],
    nearest: [],
    note: "Two frames reach no set of motors below the price cap.",
  };
  return optimalDocument({
    status: "infeasible",
    objective: null,
    bound: null,
    gap: null,
    machines: [],
    limits: [],
    parts: [],
    distinct: { motors: 0, frames: 0, gearboxes: 0, drives: 0, makers: 0, parts: 0 },
    infeasible: [lift, order],
    unknowns: [],
  });
}

/** An axis that asks for what the catalogue does not say. */
export function silentDocument(): ResultDocument {
  const silent = { id: "motor.detent", missing: "detent_torque" } as const;
  const gripper: InfeasibleAxis = {
    machine: "tray-shuttle",
    axis: "gripper",
    limits: ["motor.detent"],
    relief: [],
    not_checked: [silent],
    nearest: [{ motor: "S40-1", gearbox: null, ratio: 1, drive: "D06", fails: [], not_checked: [silent] }],
    note: "",
  };
  return { ...infeasibleDocument(), infeasible: [gripper] };
}

/** Stopped before any answer was found. */
export function unknownDocument(): ResultDocument {
  return { ...infeasibleDocument(), status: "unknown", bound: 21_000, infeasible: [] };
}

/** Stopped before even a bound was known. */
export function boundlessDocument(): ResultDocument {
  return { ...unknownDocument(), bound: null };
}

/** Every sample by name. */
export const SAMPLES: readonly (readonly [string, ResultDocument])[] = [
  ["optimal", optimalDocument()],
  ["feasible with a gap", gapDocument()],
  ["portfolio", portfolioDocument()],
  ["infeasible", infeasibleDocument()],
  ["infeasible for want of a value", silentDocument()],
  ["unknown", unknownDocument()],
  ["unknown without a bound", boundlessDocument()],
];
