import { describe, expect, test } from "vitest";
import { linesOf, readEdited } from "./edited-problem.ts";

const X = "/machines/0/axes/0";
const C = "/machines/0/axes/1";

test("the file the edits start from has no fault", async () => {
  expect(linesOf(await readEdited())).toEqual([]);
});

describe("a single slip gives a single fault at its place", () => {
  const rotaryLoad =
    "on a rotary axis: inertia, friction_torque, torque, imbalance, imbalance_angle, tilt, viscous, counterbalance";
  test.each<readonly [string, unknown, string]>([
    [
      "/weights/currency",
      undefined,
      '/weights/currency: found no such key, expected a key "currency": Three capital letters, as in the catalogues',
    ],
    [
      "/weights/variety/motor",
      450.005,
      "/weights/variety/motor: found 450.005, expected money with at most two decimals",
    ],
    [
      "/weights/variety/motr",
      4,
      '/weights/variety/motr: found key "motr", expected a documented key (nearest: "motor")',
    ],
    [
      "/weights/energy/price",
      "0.21 USD/kWh",
      '/weights/energy/price: found "0.21 USD/kWh", expected a sum of money, such as "0.21 EUR/kWh"',
    ],
    [
      "/weights/energy/price",
      0.21,
      '/weights/energy/price: found 0.21, expected a sum of money, such as "0.21 EUR/kWh"',
    ],
    ["/caps/price", "-1 EUR", '/caps/price: found "-1 EUR", expected 0 or more'],
    [
      "/site/mains",
      undefined,
      '/site/mains: found no such key, expected a key "mains": Nominal mains: line-line rms with three phases, line-neutral with one',
    ],
    ["/site/phases", 2, "/site/phases: found 2, expected one of 1, 3"],
    ["/site/mains_tolerance", "80 %", '/site/mains_tolerance: found "80 %", expected a share from 0 to 0.5'],
    ["/margins/torque", "15 kg", '/margins/torque: found "15 kg", expected a share, such as 0.15 or "15 %"'],
    ["/machines/0/quantity", 0, "/machines/0/quantity: found 0, expected a number >= 1"],
    [
      "/machines/0/same_pick",
      [["x", "y"]],
      '/machines/0/same_pick/0/1: found "y", expected an axis of this machine: x, c',
    ],
    ["/machines/0/buses", [{ id: "a" }, { id: "a" }], '/machines/0/buses/1/id: found "a", expected each bus id once'],
    [`${X}/bus`, "mian", `${X}/bus: found "mian", expected a bus of this machine: main (nearest: "main")`],
    [`${X}/carried_by`, "x", `${X}/carried_by: found "x", expected an axis that does not itself ride on this one`],
    [`${X}/start`, "2 s", `${X}/start: found 2 s, expected less than the machine's cycle, 2 s`],
    [`${X}/motion`, [], `${X}/motion: found [], expected at least 1 elements`],
    [`${X}/motion`, undefined, `${X}/motion: found no such key, expected a key "motion"`],
    [
      `${X}/motion/1/dwell`,
      "1.6 s",
      `${X}/motion: found segments of 2.05 s, expected at most the machine's cycle, 2 s`,
    ],
    [
      `${X}/motion/0`,
      {},
      `${X}/motion/0/dwell: found no such key, expected a key "dwell": Standing still, for how long`,
    ],
    [
      `${X}/motion/0/move`,
      "0 mm",
      `${X}/motion/0/move: found a move of 0, expected a distance, or a "dwell" to stand still`,
    ],
    [
      `${X}/motion/0/move`,
      300,
      `${X}/motion/0/move: found 300, expected a length with its unit, such as "300 mm", or (rotary) an angle with its unit, such as "90 deg"`,
    ],
    [
      `${X}/motion/0/accelerate`,
      0.7,
      `${X}/motion/0/accelerate: found shares that add up to 1.0333333333333332, expected at most 1 together`,
    ],
    [`${X}/motion/0/jerk`, 0.2, `${X}/motion/0/jerk: found key "jerk", expected no such share with the law trapezoid`],
    [
      `${X}/motion/0/max_speed`,
      "1 m/s",
      `${X}/motion/0/max_speed: found key "max_speed", expected either "time" or limits, not both`,
    ],
    [
      `${X}/motion/2/accelerate`,
      0.5,
      `${X}/motion/2/accelerate: found key "accelerate", expected no shares of the time where limits give the time`,
    ],
    [
      `${X}/motion/2/max_acceleration`,
      undefined,
      `${X}/motion/2/max_acceleration: found no such key, expected "max_acceleration", which trapezoid needs without a time`,
    ],
    [
      `${X}/motion/2/max_jerk`,
      "9 m/s^3",
      `${X}/motion/2/max_jerk: found key "max_jerk", expected a law of bounded jerk; trapezoid has none`,
    ],
    [
      `${X}/motion/0/time`,
      undefined,
      `${X}/motion/0/time: found no such key, expected "time", or limits: max_speed, max_acceleration, max_jerk`,
    ],
    [
      `${C}/motion/0/decelerate_time`,
      "0.95 s",
      `${C}/motion/0/time: found ramps longer than the segment, expected a time that includes both ramps`,
    ],
    [
      `${X}/mechanism/kind`,
      "ball-scrw",
      `${X}/mechanism/kind: found "ball-scrw", expected one of ball-screw, lead-screw, belt, rack, rotary, rollers, winder, crank, measured (nearest: "ball-screw")`,
    ],
    [
      `${X}/mechanism/kind`,
      undefined,
      `${X}/mechanism/kind: found no such key, expected one of ball-screw, lead-screw, belt, rack, rotary, rollers, winder, crank, measured`,
    ],
    [`${X}/mechanism/efficiency`, 1.2, `${X}/mechanism/efficiency: found 1.2, expected a share above 0, at most 1`],
    [`${X}/mechanism/lead`, "-20 mm", `${X}/mechanism/lead: found "-20 mm", expected more than 0`],
    [
      `${X}/load/inertia`,
      "1 kg*m^2",
      `${X}/load/inertia: found key "inertia", expected on a linear axis: mass, incline, friction_force, friction_coefficient, force, viscous, counterbalance`,
    ],
    [`${C}/load/friction_force`, "1 N", `${C}/load/friction_force: found key "friction_force", expected ${rotaryLoad}`],
    [
      `${C}/load/counterbalance`,
      "1 N",
      `${C}/load/counterbalance: found "1 N", expected a torque with its unit, such as "2.5 N*m"`,
    ],
    [
      `${C}/needs/smooth_from`,
      undefined,
      `${C}/needs/smooth_from: found no such key, expected "smooth_from", which goes with "speed_ripple"`,
    ],
    [
      `${C}/needs/detent_force`,
      "1 N",
      `${C}/needs/detent_force: found key "detent_force", expected "detent_torque" on a rotary axis`,
    ],
    [
      `${C}/needs/relax`,
      { "motor.sped": 0.1 },
      `${C}/needs/relax/motor.sped: found "motor.sped", expected a limit id an axis has (nearest: "motor.speed")`,
    ],
    [
      `${C}/needs/match`,
      { colour: ["blue"] },
      `${C}/needs/match/colour: found "colour", expected motor, gearbox or drive, a dot, and a column name, such as "motor.ip"`,
    ],
    [
      `${C}/needs/match`,
      { "motor.color": ["blue"] },
      `${C}/needs/match/motor.color: found "motor.color", expected a column of a catalogue (nearest: "motor.colour")`,
    ],
    [
      `${C}/needs/match`,
      { "motor.constructor": ["blue"] },
      `${C}/needs/match/motor.constructor: found "motor.constructor", expected a column of a catalogue (nearest: "motor.construction")`,
    ],
    [
      `${C}/needs/feedback`,
      ["halls"],
      `${C}/needs/feedback/0: found "halls", expected one of hall, encoder-incremental, encoder-hall, encoder-absolute, encoder-multiturn, resolver (nearest: "hall")`,
    ],
    [`${X}/allow`, { ratios: [20, 3] }, `${X}/allow/ratios: found [20,3], expected the smaller ratio first`],
    [
      `${X}/allow`,
      { makers: ["Testmakr"] },
      `${X}/allow/makers/0: found "Testmakr", expected a maker of a catalogue (nearest: "Testmaker")`,
    ],
    [
      "/forbid",
      { parts: ["T6O"] },
      '/forbid/parts/0: found "T6O", expected a part number of a catalogue (nearest: "T60")',
    ],
  ])("%s: %j", async (pointer, value, line) => {
    expect(linesOf(await readEdited([pointer, value]))).toEqual([line]);
  });
});

test("a rotary axis carries nothing, and nothing rides on itself in a ring", async () => {
  const ring = "found RIDE, expected an axis that does not itself ride on this one";
  expect(linesOf(await readEdited([`${X}/carried_by`, "c"]))).toEqual([
    `${X}/carried_by: found "c", a rotary axis, expected an axis that moves along a line`,
    `${X}/carried_by: ${ring.replace("RIDE", '"c"')}`,
    `${C}/carried_by: ${ring.replace("RIDE", '"x"')}`,
  ]);
});

const withDwell = (dwell: string): ReturnType<typeof readEdited> =>
  readEdited(
    [`${X}/motion/2/time`, "0.45 s"],
    [`${X}/motion/2/max_speed`, undefined],
    [`${X}/motion/2/max_acceleration`, undefined],
    [`${X}/motion/1/dwell`, dwell],
  );

test("a whole cycle of segments is no fault, one 1e-8 longer is", async () => {
  expect(linesOf(await withDwell("1.1 s"))).toEqual([]);
  expect(linesOf(await withDwell("1.10000002 s"))).toHaveLength(1);
});

test("a screw's critical speed takes all of its keys", async () => {
  const lines = linesOf(await readEdited([`${X}/mechanism`, { kind: "ball-screw", lead: "5 mm", ends: "fixed-free" }]));
  for (const key of ["screw_diameter", "length"]) {
    expect(lines).toContain(
      `${X}/mechanism/${key}: found no such key, expected "${key}", which goes with the screw's critical speed`,
    );
  }
});

test("a bandwidth takes the mechanism's stiffness, its factor takes a bandwidth", async () => {
  const without = linesOf(await readEdited([`${X}/needs`, { bandwidth: "30 Hz" }]));
  expect(without).toContain(
    `${X}/mechanism/stiffness: found no such key, expected "stiffness", which goes with "bandwidth"`,
  );
  const alone = linesOf(await readEdited([`${X}/needs`, { resonance_factor: 3 }]));
  expect(alone.some((line) => line.startsWith(`${X}/needs/resonance_factor: found key`))).toBe(true);
  const rotary = linesOf(await readEdited([`${X}/mechanism/stiffness`, "3 N*m/arcmin"]));
  expect(rotary).toEqual([expect.stringContaining(`${X}/mechanism/stiffness: found "3 N*m/arcmin"`)]);
});

test("a path may leave the problem's folder for catalogues only", async () => {
  const follow = linesOf(await readEdited([`${X}/motion/1`, { follow: "../secret.csv" }]));
  expect(follow).toContain(`${X}/motion/1/follow: found "../secret.csv", expected a file inside the problem's folder`);
  const force = linesOf(await readEdited([`${X}/load/force`, { file: "/etc/passwd" }]));
  expect(force).toContain(`${X}/load/force/file: found "/etc/passwd", expected a file inside the problem's folder`);
});
