import { expect, test } from "vitest";
import type { BallScrew } from "../../src/machine/mechanism.ts";
import type { Load } from "../../src/machine/problem.ts";
import type { RideDownResult } from "../../src/machine/result.ts";
import { canFall } from "../../src/report/caution-input.ts";
import { type CautionInput, cautionsFor } from "../../src/report/cautions.ts";
import { facts, RIDE_DOWN } from "./sample-documents.ts";

const BUS = { name: "bus main", supply: "B3", resistor: "R60", voltage: 780, rideDown: null };

function inputOf(changes: Partial<CautionInput>): CautionInput {
  return { axes: [facts("traverse")], buses: [], parts: [], ...changes };
}

function coded(input: CautionInput, code: string): { at: string; text: string }[] {
  return cautionsFor(input).filter((caution) => caution.code === code);
}

test("only axes with gravity can fall, and each is named", () => {
  const axes = [facts("traverse"), facts("lift", { gravity: true, brake: true }), facts("press", { gravity: true })];
  expect(coded(inputOf({ axes }), "falling-axis").map(({ at }) => at)).toEqual(["lift", "press"]);
});

test.each([
  ["with a brake", { brake: true }, /holding brake holds, it is not a safety function by itself/],
  ["with its brake switched off in writing", { brake: false, brakeNeed: false }, /brake was switched off in writing/],
  ["without a brake", { brake: false }, /motor has no brake/],
  ["before anything is picked", { brake: undefined }, /when torque is lost or a brake fails/],
  ["on a self-locking screw with a brake", { brake: true, selfLocking: true }, /self-locking screw can creep/],
  [
    "self-locking, brake switched off",
    { brake: false, brakeNeed: false, selfLocking: true },
    /Self-locking alone can creep/,
  ],
] as const)("the falling-axis caution fits an axis %s", (_name, changes, words) => {
  const [caution] = coded(inputOf({ axes: [facts("lift", { gravity: true, ...changes })] }), "falling-axis");
  expect(caution?.text).toMatch(words);
});

test("an axis that can fall says how far, rounded up, or that its brake's time is not given", () => {
  const known = { brake_close_time: 0.06, from_standstill: 0.001234, from_motion: 0.01161, unit: "m" };
  const texts = (drop: typeof known | Readonly<Record<keyof typeof known, null>> | null): string[] => {
    const given = drop === null ? null : { ...drop, unit: "m" };
    const axes = [facts("lift", { gravity: true, brake: true, motor: "M80-2B", drop: given })];
    return coded(inputOf({ axes }), "falling-axis").map(({ text }) => text);
  };
  expect(texts(known)[1]).toBe(
    "drops up to 11.7 mm before its brake grips (60 ms, 1.24 mm from standstill), friction not counted.",
  );
  expect(texts({ ...known, from_motion: 0.001234 })[1]).toContain("up to 1.24 mm before its brake grips (60 ms), ");
  const unknown = { brake_close_time: null, from_standstill: null, from_motion: null, unit: null };
  expect(texts(unknown)[1]).toContain("brake_close_time of motor M80-2B not given");
  expect(texts(null)).toHaveLength(1);
});

test("each bus with a supply has its energy caution; extra-low voltage is not called lethal", () => {
  const buses = [
    BUS,
    { ...BUS, name: "bus low", voltage: 48 },
    { ...BUS, name: "bus none", supply: null, resistor: null },
  ];
  const found = coded(inputOf({ buses }), "bus-energy");
  expect(found.map(({ at }) => at)).toEqual(["bus main", "bus low"]);
  expect(found.map(({ text }) => text.includes("lethal"))).toEqual([true, false]);
});

/** Cautions of a bus whose mains fail. */
function mainsLoss(changes: Partial<RideDownResult>): string[] {
  const buses = [{ ...BUS, rideDown: { ...RIDE_DOWN, ...changes } }];
  return coded(inputOf({ buses }), "mains-loss").map(({ text }) => text);
}

test("a bus that does not carry its hanging axes until their brakes grip has a caution, another has none", () => {
  expect(mainsLoss({})).toEqual([]);
  expect(mainsLoss({ carries: null, unknown: [{ part: "D10", missing: "bus_min" }] })).toEqual([]);
  expect(mainsLoss({ carries: false, lost_after: 0.12349 })).toEqual([
    "when the mains fail its drives can lose control after 123 ms, before the brakes of lift, press grip (325 ms): allow for the fall until then, from full speed.",
  ]);
  // Lost after the brakes grip it is lost for an axis that has none, which is cautioned as a falling axis already.
  expect(mainsLoss({ carries: false, lost_after: 0.4, lowest_voltage: null })).toEqual([]);
  const axes = [{ id: "lift", brake: false }];
  expect(mainsLoss({ carries: false, lost_after: 2, axes, brakes_grip: null, lowest_voltage: null })).toEqual([]);
});

test("hot surfaces name the resistor and each motor once", () => {
  const input = inputOf({ axes: [facts("a"), facts("b"), facts("c", { motor: "M60-1" })], buses: [BUS] });
  expect(coded(input, "hot-resistor").map(({ at }) => at)).toEqual(["resistor R60 (bus main)"]);
  expect(coded(input, "hot-motor").map(({ at }) => at)).toEqual(["M80-3", "M60-1"]);
});

test("an incremental encoder without Hall tracks needs its alignment move; others do not", () => {
  const axes = [facts("a", { feedback: "encoder-incremental" }), facts("b", { feedback: "encoder-hall" }), facts("c")];
  expect(coded(inputOf({ axes }), "alignment-move").map(({ at }) => at)).toEqual(["a"]);
});

test("more than 1,000 starts an hour are a caution on a gearbox only", () => {
  const axes = [
    facts("a", { startsPerHour: 1001 }),
    facts("b", { startsPerHour: 1000 }),
    facts("c", { startsPerHour: 5000, gearbox: null }),
  ];
  expect(coded(inputOf({ axes }), "many-starts").map(({ at }) => at)).toEqual(["a"]);
});

test("constants of a motor that disagree beyond 5 % are a caution, either way", () => {
  const parts = [1.06, 0.94, 1.049, 0.951].map((constantsRatio, index) => ({
    name: `M${index}`,
    constantsRatio,
    dearerStep: false,
  }));
  expect(coded(inputOf({ parts }), "motor-constants").map(({ at }) => at)).toEqual(["M0", "M1"]);
});

test("stopping functions name the standards and the axes; the result is a proposal", () => {
  const text = cautionsFor(inputOf({}))
    .map((caution) => caution.text)
    .join("\n");
  const standards = ["ISO 12100", "ISO 13849-1", "IEC 62061", "IEC 60204-1", "IEC 61800-5-2"];
  expect(standards.filter((standard) => !text.includes(standard))).toEqual([]);
  expect(text).toContain("safe torque off of traverse");
  expect(text).toContain("Local codes and licensed practice come first");
  expect(text).toContain("proposal for a qualified engineer");
});

const SCREW: BallScrew = {
  kind: "ball-screw",
  lead: 0.02,
  efficiency: 0.9,
  backEfficiency: 0.8,
  inertia: 0,
  dragTorque: 0,
  couplingInertia: 0,
};
const STILL: Load = {
  mass: 10,
  incline: 0,
  frictionForce: 0,
  frictionCoefficient: 0,
  viscous: 0,
  force: 0,
  counterbalance: 0,
  imbalance: 0,
  imbalanceAngle: 0,
  tilt: Math.PI / 2,
};

test.each([
  ["a level axis", { load: {} }, false],
  ["a vertical axis", { load: { incline: Math.PI / 2 } }, true],
  ["a slope downward", { load: { incline: -0.1 } }, true],
  ["a counterbalanced vertical axis", { load: { incline: Math.PI / 2, counterbalance: 98.0665 } }, true],
  ["a vertical axis without mass", { load: { incline: Math.PI / 2, mass: 0 } }, false],
  ["a vertical axis that only carries", { load: { incline: Math.PI / 2, mass: 0 }, carries: true }, true],
  ["a balanced rotary axis", { load: {}, rotary: true }, false],
  ["an imbalanced rotary axis", { load: { imbalance: 0.1 }, rotary: true }, true],
  ["an imbalanced rotary axis on a vertical shaft", { load: { imbalance: 0.1, tilt: 0 }, rotary: true }, false],
] as const)("%s: can fall is judged from the problem alone", (_name, given, expected) => {
  const { load } = given;
  const rotary = "rotary" in given;
  const mechanism = rotary ? ({ ...SCREW, kind: "rotary" } as const) : SCREW;
  const axis = { load: { ...STILL, ...load }, mechanism, motion: [] };
  expect(canFall(axis, "carries" in given)).toBe(expected);
});
