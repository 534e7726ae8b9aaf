import { describe, expect, test } from "vitest";
import { type BusDemand, checkBus } from "../../../src/decide/bus-check.ts";
import type { SupplyOption } from "../../../src/decide/supply-options.ts";
import { CATALOGUE_COLUMNS } from "../../../src/input/catalogue-columns.ts";
import type { Drive, Gearbox, Motor, PartKind } from "../../../src/machine/catalogue.ts";
import type { LimitId, Unchecked } from "../../../src/machine/limit.ts";
import type { Mechanism } from "../../../src/machine/mechanism.ts";
import type { Needs } from "../../../src/machine/problem.ts";
import { judgePick } from "../../../src/physics/limits/judge-pick.ts";
import { busPower } from "../../../src/physics/power/bus-power.ts";
import { drawingPiece } from "../drawing-piece.ts";
import { dutyOfSample, dwell, LOSSLESS, MILD_SITE, move } from "../sample-axis.ts";
import { driveWith, gearboxWith, motorWith, pickOf, resistorWith, supplyWith } from "../sample-parts.ts";

/** What becomes of a limit when its column is empty. */
interface Judged {
  readonly kind: PartKind;
  readonly column: string;
  readonly id: LimitId;
  /** A key in `needs` that asks for the limit. */
  readonly asks?: Partial<Needs>;
  /** Other cells that the limit takes. */
  readonly beside?: Partial<Motor>;
  /** The cell as it is when filled in. */
  readonly filled: Partial<Motor> | Partial<Gearbox> | Partial<Drive>;
}

// "Missing data must not win": an empty cell leaves the limit unchecked, and fails it where the problem asks.
const OF_PICKS: readonly Judged[] = [
  {
    kind: "motor",
    column: "peak_knee_speed",
    id: "motor.torque_at_speed",
    beside: { peakTorqueAtMaxSpeed: 90 },
    filled: { peakKneeSpeed: 90 },
  },
  {
    kind: "motor",
    column: "peak_torque_at_max_speed",
    id: "motor.torque_at_speed",
    beside: { peakKneeSpeed: 90 },
    filled: { peakTorqueAtMaxSpeed: 90 },
  },
  { kind: "motor", column: "winding_time", id: "motor.winding_temperature", filled: { windingTime: 9 } },
  { kind: "motor", column: "winding_time", id: "motor.standstill_torque", filled: { windingTime: 0.1 } },
  { kind: "motor", column: "detent_torque", id: "motor.detent", asks: { detent: 1 }, filled: { detentTorque: 1e-6 } },
  {
    kind: "motor",
    column: "detent_torque",
    id: "motor.speed_ripple",
    asks: { speedRipple: 0.5, smoothFrom: 1 },
    beside: { detents: 24 },
    filled: { detentTorque: 1e-6 },
  },
  {
    kind: "motor",
    column: "detents",
    id: "motor.speed_ripple",
    asks: { speedRipple: 0.5, smoothFrom: 1 },
    beside: { detentTorque: 1e-6 },
    filled: { detents: 24 },
  },
  {
    kind: "motor",
    column: "resolution",
    id: "motor.resolution",
    asks: { resolution: 1 },
    filled: { resolution: 4096 },
  },
  { kind: "motor", column: "radial_load", id: "motor.shaft_load", filled: { radialLoad: 1e4 } },
  { kind: "gearbox", column: "radial_load", id: "gearbox.shaft_load", filled: { radialLoad: 1e4 } },
  { kind: "gearbox", column: "emergency_torque", id: "gearbox.emergency_torque", filled: { emergencyTorque: 1e3 } },
  {
    kind: "gearbox",
    column: "stiffness",
    id: "axis.resonance",
    asks: { bandwidth: 1, resonanceFactor: 2 },
    filled: { stiffness: 1e5 },
  },
  { kind: "drive", column: "max_frequency", id: "drive.frequency", filled: { maxFrequency: 1e3 } },
];

const BELT: Mechanism = { kind: "belt", diameter: 0.05, ...LOSSLESS, radialFactor: 2, stiffness: 1e6 };
const STRONG = { rotorInertia: 1e-3, stallTorque: 100, ratedTorque: 100, peakTorque: 100, inductance: 1 };

/** The cells where they are those of a kind of part. */
function of<Part extends Motor | Gearbox | Drive>(
  { kind }: Judged,
  wanted: Part["kind"],
  cells: Judged["filled"],
): Partial<Part> {
  return kind === wanted ? (cells as Partial<Part>) : {};
}

/** A pick that everything passes, and of which a limit can fail for the empty cell alone. */
function judgedPick(cells: Judged["filled"], row: Judged, needs: Partial<Needs>) {
  const { kind, beside } = row;
  const motion = [move(0.01, { time: 1 }), dwell(1, { force: 5 }), move(-0.01, { time: 1 })];
  const free = { inertiaRatio: null, rippleCurrent: 100, ...needs };
  const duty = dutyOfSample({ mechanism: BELT, load: { mass: 1 }, motion, needs: free });
  const motor = motorWith({ ...STRONG, ...beside, ...of<Motor>(row, "motor", cells) });
  // A gearbox takes the shaft load off the motor: beside a motor's cell there is none.
  const gearbox = kind === "gearbox" ? { gearbox: gearboxWith(of<Gearbox>(row, "gearbox", cells)) } : {};
  const drive = driveWith({ continuousCurrent: 99, peakCurrent: 199, ...of<Drive>(row, "drive", cells) });
  return judgePick(pickOf(duty, { motor, drive, ...gearbox }));
}

describe.each(OF_PICKS)("an empty $column of a $kind", (row) => {
  const { id, column, asks, filled } = row;
  const silent = { id, missing: column };

  test(`leaves ${id} unchecked${asks === undefined ? "" : " and fails it, because it is asked for"}`, () => {
    const { unchecked, limits, failed } = judgedPick({}, row, asks ?? {});
    expect(unchecked).toContainEqual(silent);
    expect(limits.map((limit) => limit.id)).not.toContain(id);
    expect(failed).toEqual(asks === undefined ? [] : [id]);
  });

  test("fails it where the problem rejects what is unknown", () => {
    expect(judgedPick({}, row, { ...asks, rejectUnknown: true }).failed).toContain(id);
  });

  test("is let pass where the limit is lifted in writing", () => {
    const lifted = { ...asks, rejectUnknown: true, relax: { [id]: null } };
    expect(judgedPick({}, row, lifted).failed).not.toContain(id);
  });

  test("lets the limit be checked as soon as it is filled in", () => {
    const { unchecked, limits, failed } = judgedPick(filled, row, asks ?? {});
    expect(unchecked).not.toContainEqual(silent);
    expect(limits.map((limit) => limit.id)).toContain(id);
    expect(failed).toEqual([]);
  });
});

/** The optional cells of a supply that limits take. */
const KNOWN = { maxCapacitance: 1, minResistance: 1, peakTime: 60 };

/** A bus that takes 900 W half the time, and must stop with 9 J to give back. */
function judgedBus(option: Partial<SupplyOption>, empty?: keyof typeof KNOWN) {
  const pieces = [900, 0].map((power, k) => drawingPiece(k, k + 1, () => power));
  const power = busPower([{ pair: { period: 2, pieces }, lossPerAmp: 0 }], 0, 2);
  const demand: BusDemand = { drawn: power, braked: power, billed: power, modules: [], stop: { energy: 9, time: 0 } };
  const around = { site: MILD_SITE, voltage: { low: 500, high: 560 }, margin: 0 };
  const cells = Object.fromEntries(Object.entries(KNOWN).filter(([key]) => key !== empty));
  return checkBus(
    demand,
    {
      supply: supplyWith({ continuousPower: 800, chopperVoltage: 780, ...cells }),
      resistor: resistorWith({ pulseEnergy: 99 }),
      way: "resistor",
      ...option,
    },
    around,
  );
}

const OF_BUSES: readonly {
  readonly kind: PartKind;
  readonly column: string;
  readonly id: LimitId;
  readonly option: Partial<SupplyOption>;
  readonly empty?: keyof typeof KNOWN;
  readonly failed: readonly LimitId[];
}[] = [
  {
    kind: "supply",
    column: "max_capacitance",
    id: "supply.capacitance",
    option: {},
    empty: "maxCapacitance",
    failed: [],
  },
  {
    kind: "supply",
    column: "min_resistance",
    id: "resistor.peak_power",
    option: {},
    empty: "minResistance",
    failed: [],
  },
  { kind: "supply", column: "peak_time", id: "supply.overload", option: {}, empty: "peakTime", failed: [] },
  {
    kind: "resistor",
    column: "pulse_energy",
    id: "resistor.stop_energy",
    option: { resistor: resistorWith() },
    failed: ["resistor.stop_energy"],
  },
];

test.each(OF_BUSES)("an empty $column of a $kind leaves $id unchecked", ({ column, id, option, empty, failed }) => {
  const silent: Unchecked = { id, missing: column };
  const found = judgedBus(option, empty);
  expect(found.unchecked).toContainEqual(silent);
  expect(found.failed).toEqual(failed);
  const whole = judgedBus({});
  expect(whole.unchecked).toEqual([]);
  expect(whole.failed).toEqual([]);
  expect(whole.limits.map((limit) => limit.id)).toContain(id);
});

/** Empty cells that stand for something of their own, and what. */
const OF_THEIR_OWN: Readonly<Record<PartKind, Readonly<Record<string, string>>>> = {
  motor: {
    peak_current: "the current stays in proportion to the torque",
    peak_time: "shown nowhere: the winding's heat speaks for it",
    friction_torque: "0, recorded",
    housing_time: "the housing follows the mean heat",
    winding_share: "0.4, recorded",
    winding_limit: "130 degC, recorded",
    reference_ambient: "40 degC, recorded",
    brake_torque: "no brake",
    brake_inertia: "0 without a brake, a fault with one",
    ip: "fits no wanted protection",
    standstill_torque: "T0 over the square root of 2",
    brake_close_time: "shown nowhere yet",
    lead_time: "fails a cap on lead time",
  },
  gearbox: {
    back_efficiency: "the efficiency, recorded",
    drag_torque: "0, recorded",
    length: "not asked for",
    lead_time: "fails a cap on lead time",
  },
  drive: { bus_min: "any low voltage", bus_family: "goes with any", lead_time: "fails a cap on lead time" },
  supply: {
    mains_max: "the mains of the row, recorded",
    bus_voltage: "rectified mains",
    chopper_voltage: "a fault unless it feeds back",
    internal_resistor_peak: "no resistor inside",
    internal_resistor_continuous: "no resistor inside",
    bus_family: "goes with any",
    lead_time: "fails a cap on lead time",
  },
  resistor: { lead_time: "fails a cap on lead time" },
  inductor: { lead_time: "fails a cap on lead time" },
};

test("every optional column of the catalogues is accounted for, here or by a meaning of its own", () => {
  const told = [...OF_PICKS, ...OF_BUSES].map(({ kind, column }) => `${kind} ${column}`);
  const meant = Object.entries(OF_THEIR_OWN).flatMap(([kind, columns]) =>
    Object.keys(columns).map((column) => `${kind} ${column}`),
  );
  const optional = Object.entries(CATALOGUE_COLUMNS).flatMap(([kind, columns]) =>
    Object.entries(columns).flatMap(([column, { isRequired }]) => (isRequired ? [] : [`${kind} ${column}`])),
  );
  expect([...new Set([...told, ...meant])].toSorted()).toEqual(optional.toSorted());
});
