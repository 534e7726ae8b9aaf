import { beforeAll, describe, expect, test } from "vitest";
import type { LimitId } from "../../src/machine/limit.ts";
import type { RatioRange } from "../../src/machine/ratios.ts";
import { judgePick } from "../../src/physics/limits/judge-pick.ts";
import { pickDuty } from "../../src/physics/limits/pick-duty.ts";
import { type MotorOverRatios, motorOverRatios } from "../../src/ratios/motor-ratios.ts";
import { standings, usableMotors } from "../../src/ratios/standing.ts";
import type { Subject } from "../../src/ratios/subject.ts";
import { surveyOf } from "../../src/ratios/survey.ts";
import { CURVE_LIMITS, MOTOR_CURVE_LIMITS, type TrainLimits, trainLimits } from "../../src/ratios/utilisation.ts";
import { windowsOf } from "../../src/ratios/windows.ts";
import { axisOracle } from "../../src/verify/axis-oracle.ts";
import { BARE_NEEDS } from "../physics/sample-axis.ts";
import { subjectOf } from "./subjects.ts";

/** What the full judgement fails with the assumed gearbox at a ratio, in any run, as far as curves go. */
function failedAt(subject: Subject, { train }: MotorOverRatios, ratio: number): LimitId[] {
  const { site, voltage: bus } = subject.axis;
  const parts = { ...train, gearbox: { ...train.gearbox, ratio } };
  const failed = subject.duties.flatMap((duty) => judgePick(pickDuty(duty, parts, { site, bus })).failed);
  return [...new Set(failed)].filter((id) => CURVE_LIMITS.includes(id));
}

// A belt, a screw that hangs on a brake, a winder in three runs, an axis in
// other units, and one that no motor can move.
const AXES = [
  ["tray-transplanter", "gantry"],
  ["tray-transplanter", "lift"],
  ["label-line", "unwind"],
  ["drum-feeder-imperial", "drum"],
  ["stone-lift-infeasible", "hoist"],
] as const;

describe.each(AXES)("%s, %s", (problem, axis) => {
  let subject: Subject;
  let looked: MotorOverRatios[] = [];
  beforeAll(async () => {
    subject = await subjectOf(problem, axis);
    const all = usableMotors(subject);
    const motors = [0.1, 0.7].flatMap((share) => all[Math.floor(share * all.length)] ?? []);
    const survey = surveyOf(subject, motors, true);
    looked = motors.map((motor) => motorOverRatios(subject, motor, survey));
  });

  test("each end of each window is where the full judgement changes its mind", () => {
    let ends = 0;
    for (const motor of looked) {
      for (const { from, to } of motor.windows) {
        for (const [end, inward] of [
          [from, 1 + 1e-6],
          [to, 1 - 1e-6],
        ] as const) {
          expect(failedAt(subject, motor, end.ratio * inward)).toEqual([]);
          if (end.limits.length === 0) continue;
          ends += 1;
          const outside = failedAt(subject, motor, end.ratio / inward);
          expect(outside).toEqual(expect.arrayContaining([...end.limits]));
        }
      }
      if (motor.windows.length > 0) continue;
      ends += 1;
      for (const ratio of [1, 2, 5, 10, 30, 100]) expect(failedAt(subject, motor, ratio)).not.toEqual([]);
    }
    expect(ends).toBeGreaterThan(0);
  });

  test("at real ratios the curves' limits are those of the full judgement, to the last digit", () => {
    let compared = 0;
    for (const { picks } of looked) {
      for (const { parts, judgement } of picks.slice(0, 8)) {
        if (parts.gearbox === undefined) continue;
        const { use } = trainLimits(subject, { ...parts, gearbox: parts.gearbox });
        for (const { id, utilisation } of judgement.limits.filter((limit) => CURVE_LIMITS.includes(limit.id))) {
          expect(use(id, parts.gearbox.ratio)).toBe(utilisation ?? Number.POSITIVE_INFINITY);
          compared += 1;
        }
      }
    }
    expect(compared).toBeGreaterThan(80);
  });

  test("a curve is 1 at the ends of its `passes`, and above 1 outside of them alone", () => {
    let ends = 0;
    for (const { curve, range, train } of looked) {
      const { use } = trainLimits(subject, train);
      for (const { id, utilisation, passes } of curve.limits) {
        curve.ratio.forEach((ratio, k) => {
          const inside = passes.some(([from, to]) => ratio >= from && ratio <= to);
          expect((utilisation[k] ?? Number.POSITIVE_INFINITY) <= 1 + 1e-12).toBe(inside);
        });
        for (const end of passes.flat().filter((ratio) => ratio !== range?.from && ratio !== range?.to)) {
          expect(use(id, end)).toBeCloseTo(1, 11);
          ends += 1;
        }
      }
    }
    // Where no motor works, no limit need come down to 1 anywhere.
    expect(ends + looked.filter(({ windows }) => windows.length === 0).length).toBeGreaterThan(0);
  });
});

test("a simulation in time steps, which shares no formula, sees the same limits reach 1 at the ends of a window (0.1 %)", async () => {
  const subject = await subjectOf("tray-transplanter", "gantry");
  const { setup, machine, axis, carried } = subject;
  const motors = usableMotors(subject).filter(({ motor }) => ["PC80-60-H30-R", "DS80-60-H45-R"].includes(motor.part));
  const oracle = axisOracle(setup.problem, machine.machine, axis.axis);
  const survey = surveyOf(subject, motors, true);
  let ends = 0;
  for (const { windows, train } of motors.map((motor) => motorOverRatios(subject, motor, survey))) {
    for (const { ratio, limits } of windows.flatMap(({ from, to }) => [from, to])) {
      const gearbox = { ...train.gearbox, ratio, part: `assumed ${ratio}` };
      const pick = { motor: train.motor, gearbox, drive: train.drive, inductor: train.inductor ?? null };
      const seen = oracle.simulate(pick, carried).limits;
      for (const id of limits) {
        const utilisation = seen.find((limit) => limit.id === id)?.utilisation ?? 0;
        expect(Math.abs(utilisation - 1)).toBeLessThan(1e-3);
        ends += 1;
      }
    }
  }
  expect(ends).toBeGreaterThan(3);
});

test("every motor that has no ratio fails the full judgement at each, and one that works has a window or is gearless", async () => {
  const subject = await subjectOf("tray-transplanter", "gantry");
  const every = standings(subject, usableMotors(subject));
  const all = (["works", "between", "fails"] as const).flatMap((kind) =>
    every.filter(({ standing }, k) => standing === kind && k % 3 === 0).slice(0, 2),
  );
  const survey = surveyOf(subject, all, true);
  const kinds = new Set(all.map(({ standing }) => standing));
  for (const one of all) {
    const motor = motorOverRatios(subject, one, survey);
    const works = motor.picks.some(({ judgement }) => judgement.failed.length === 0);
    expect(works).toBe(one.standing === "works");
    expect(one.standing === "fails" ? motor.windows : []).toEqual([]);
  }
  expect([...kinds].toSorted()).toEqual(["between", "fails", "works"]);
});

test("the limits that screening asks are those of the curves that no drive enters", () => {
  const own = CURVE_LIMITS.filter((id) => id.startsWith("motor.") || id === "axis.critical_speed");
  // Speed ends the range itself.
  expect(MOTOR_CURVE_LIMITS.toSorted()).toEqual(own.filter((id) => id !== "motor.speed").toSorted());
});

const near = (i: number): number => (Math.log(i) - Math.log(7.77)) ** 2;
const turnAt =
  (at: number) =>
  (i: number): number =>
    1 - 1e-4 + (Math.log(i) - Math.log(at)) ** 2;
const VOLTAGE: readonly LimitId[] = ["motor.voltage"];
const range: RatioRange = { from: 1, to: 100, ends_by: "motor.speed" };
const tenth: TrainLimits["use"] = (_, ratio) => ratio / 10;

/** The upper end of a window under a relaxed limit. */
const highestAt = (relax: TrainLimits["needs"]["relax"]): number | undefined => {
  const limits: TrainLimits = { needs: { ...BARE_NEEDS, relax }, unchecked: new Map(), use: tenth };
  const search = { range, ids: VOLTAGE, samples: 48, stops: false };
  return windowsOf(limits, search).windows[0]?.to.ratio;
};

const found = (uses: Partial<Record<LimitId, (ratio: number) => number>>): ReturnType<typeof windowsOf> => {
  const limits: TrainLimits = { needs: BARE_NEEDS, unchecked: new Map(), use: (id, ratio) => uses[id]?.(ratio) };
  const ids = Object.keys(uses).filter((id): id is LimitId => CURVE_LIMITS.some((known) => known === id));
  return windowsOf(limits, { range, ids, samples: 48, stops: false });
};

describe("made-up limits", () => {
  test("a limit that fails in between leaves two windows, each end with what closes it", () => {
    const { windows } = found({
      "motor.voltage": (i) => Math.exp(0.5 - (Math.log(i) - Math.log(10)) ** 2),
      "motor.peak_torque": (i) => 2 / i,
    });
    const step = Math.SQRT1_2;
    expect(windows.map(({ from, to }) => [from.limits, to.limits])).toEqual([
      [["motor.peak_torque"], ["motor.voltage"]],
      [["motor.voltage"], ["motor.speed"]],
    ]);
    expect(windows[0]?.from.ratio).toBeCloseTo(2, 11);
    expect(windows[0]?.to.ratio).toBeCloseTo(10 * Math.exp(-step), 10);
    expect(windows[1]?.from.ratio).toBeCloseTo(10 * Math.exp(step), 10);
  });

  test("windows and gaps far narrower than the steps that are looked at are found", () => {
    const narrow = found({ "motor.peak_torque": (i) => 1 - 1e-9 + near(i) }).windows;
    expect(narrow).toHaveLength(1);
    expect((narrow[0]?.to.ratio ?? 0) / (narrow[0]?.from.ratio ?? 1) - 1).toBeCloseTo(2 * Math.sqrt(1e-9), 7);
    expect(found({ "motor.peak_torque": (i) => (1 + 1e-9) / (1 + near(i)) }).windows).toHaveLength(2);
    expect(found({ "motor.peak_torque": (i) => 1 + 1e-9 + near(i) }).windows).toEqual([]);
  });

  test("a turn in the first or the last step is found, too", () => {
    expect(found({ "motor.peak_torque": turnAt(1.03) }).windows).toHaveLength(1);
    expect(found({ "motor.peak_torque": turnAt(97) }).windows).toHaveLength(1);
  });

  test("without a window it says which limits leave none, or that what they leave has nothing in common", () => {
    const nothing = found({ "motor.peak_torque": () => 1.1, "motor.voltage": (i) => i / 50 });
    expect(nothing.fails).toEqual(["motor.peak_torque"]);
    const apart = found({ "motor.peak_torque": (i) => 20 / i, "motor.voltage": (i) => i / 10 });
    expect(apart.windows).toEqual([]);
    expect(apart.fails).toEqual(["motor.peak_torque", "motor.speed", "motor.voltage"]);
  });

  test("relax widens a limit, null lifts it", () => {
    expect(highestAt({})).toBeCloseTo(10, 11);
    expect(highestAt({ "motor.voltage": 0.5 })).toBeCloseTo(15, 11);
    expect(highestAt({ "motor.voltage": null })).toBe(100);
  });
});
