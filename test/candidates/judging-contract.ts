import * as fc from "fast-check";
import { expect, test } from "vitest";
import { candidateOf, eachCandidate } from "../../src/candidates/each-candidate.ts";
import { frameFits } from "../../src/candidates/fit.ts";
import { type Judged, judgeAxis } from "../../src/candidates/judge-axis.ts";
import { failedLimits, HOPELESS } from "../../src/candidates/limit-scan.ts";
import type { LimitId } from "../../src/machine/limit.ts";
import type { Duty } from "../../src/physics/duty/duty.ts";
import type { PickJudgement } from "../../src/physics/limits/judge-pick.ts";
import { needsBrake } from "../../src/physics/limits/motor-limits.ts";
import { dutyWith, type Indices, judgeExactly, keyOf, NO_INDUCTOR, type ReadAxis } from "./read-axes.ts";

/**
 * What the fast judging may let through and the exact judging not, as a share of what is allowed: peaks are read off a
 * thinned hull, voltage and envelope off the quadrature nodes. Limits without an entry agree to rounding.
 */
const OPTIMISM: Readonly<Partial<Record<LimitId, number>>> = {
  "motor.peak_torque": 0.001,
  "gearbox.emergency_torque": 0.001,
  "drive.peak_current": 0.003, // a saturated motor's current rises faster than its torque
  "motor.voltage": 0.002,
  "motor.torque_at_speed": 0.1, // a falling envelope at the very end of a ramp
};
const ROUNDING = 1e-9;

const DEAR: readonly LimitId[] = ["motor.winding_temperature", "motor.voltage", "motor.torque_at_speed"];

/** Limits the survey does not ask of a pick: dear ones of hopeless pairs, and the voltage across a series inductor. */
function unasked(failed: readonly LimitId[], inductor: number): readonly LimitId[] {
  const cheap = failed.filter((id) => !id.startsWith("drive.") && !DEAR.includes(id));
  if (cheap.length >= HOPELESS) return DEAR;
  return inductor === NO_INDUCTOR ? [] : ["motor.voltage"];
}

const KNOWN = { low: 0, high: 0 };

function judge({ axis: { axis, site, voltage, fit }, catalogue }: ReadAxis, duty: Duty, most?: number): Judged {
  return judgeAxis({ axis, site, bus: voltage, catalogue, fit }, duty, most);
}

/** Every candidate that goes on, with what it fails. */
function candidates(judged: Judged): (Indices & { readonly failed: number; readonly by: number })[] {
  const found: (Indices & { failed: number; by: number })[] = [];
  eachCandidate(judged, (pair, drive, inductor, index) =>
    found.push(candidateOf(judged, { pair, drive, inductor, index })),
  );
  return found;
}

/** So many of a list, spread by a fixed seed. */
function some<T>(all: readonly T[], count: number, seed: number): T[] {
  if (all.length <= count) return [...all];
  const picked = fc.sample(fc.integer({ min: 0, max: all.length - 1 }), { seed, numRuns: count });
  return picked.flatMap((index) => all[index] ?? []);
}

/** Random picks whose parts fit the axis and one another. */
function randomPicks({ axis: { fit }, catalogue }: ReadAxis, duty: Duty, count: number, seed: number): Indices[] {
  const pick = fc.record({
    motor: fc.constantFrom(...fit.motors),
    gearbox: fc.constantFrom(...fit.gearboxes),
    drive: fc.constantFrom(...fit.drives),
  });
  return fc.sample(pick, { seed, numRuns: count }).flatMap(({ motor, gearbox, drive }) => {
    const [m, g, d] = [catalogue.motors[motor], catalogue.gearboxes[gearbox], catalogue.drives[drive]];
    if (m === undefined || d === undefined || !frameFits(m, g) || !d.feedback.includes(m.feedback)) return [];
    const hangs = needsBrake(duty, g?.ratio ?? 1) && m.feedback === "encoder-incremental";
    return hangs ? [] : [{ motor, gearbox, drive, inductor: NO_INDUCTOR }];
  });
}

/** Limits a pick fails by more than rounding and thinning explain. */
function clearlyFailed({ limits, failed }: PickJudgement): LimitId[] {
  return limits.flatMap(({ id, utilisation }) => {
    const slight = utilisation !== null && utilisation - 1 <= (OPTIMISM[id] ?? ROUNDING) + ROUNDING;
    return failed.includes(id) && !slight ? [id] : [];
  });
}

/**
 * Holds the fast judging of an axis to the exact one.
 *
 * @param share - of the picks that are looked at, 1 for all of them
 */
export function judgingContract(read: ReadAxis, share: number): void {
  const duty = dutyWith(read, KNOWN);
  const part = (count: number): number => Math.ceil(share * count);
  let known: ReturnType<typeof candidates> | undefined;
  const passing = (): ReturnType<typeof candidates> => {
    known ??= candidates(judge(read, duty));
    return known;
  };

  test("never rejects what the exact judging passes", () => {
    const accepted = new Set(passing().map(keyOf));
    const picks = randomPicks(read, duty, 3000, 21);
    expect(picks.length).toBeGreaterThan(150);
    const passed: Indices[] = [];
    for (const [k, pick] of picks.entries()) {
      // A share of them is enough once one passes: on some axes few do.
      if (k >= part(picks.length) && passed.length > 0) break;
      if (judgeExactly(read, duty, pick).failed.length === 0) passed.push(pick);
    }
    expect(passed.filter((pick) => !accepted.has(keyOf(pick)))).toEqual([]);
    // Found by chance on every axis but the lift that nothing can drive.
    expect(passed.length > 0).toBe(accepted.size > 0);
  });

  test("what it passes fails the exact judging by little, and seldom", () => {
    const accepted = passing();
    const looked = some(accepted, part(500), 22);
    const failing = looked.filter((pick) => judgeExactly(read, duty, pick).failed.length > 0);
    const clear = failing.filter((pick) => {
      const skipped = unasked([], pick.inductor);
      return clearlyFailed(judgeExactly(read, duty, pick)).some((id) => !skipped.includes(id));
    });
    expect(clear).toEqual([]);
    expect(looked.length).toBe(Math.min(part(500), accepted.length));
    expect(failing.length).toBeLessThanOrEqual(0.02 * looked.length);
  });

  test("a survey names the limits that the exact judging finds failed, and rejects nothing by a hair", () => {
    const survey = candidates(judge(read, duty, Number.POSITIVE_INFINITY));
    const near = survey.filter(({ failed, by }) => failed > 0 && by <= 1.001);
    const looked = [...some(survey, part(400), 23), ...some(near, part(100), 24)];
    expect(looked.length).toBeGreaterThanOrEqual(part(400));
    const differing = looked.flatMap((pick) => {
      const exact = judgeExactly(read, duty, pick);
      const said = failedLimits(pick.failed);
      // What is held against a pick is so, and what is clearly failed is held against it.
      const unjust = said.filter((id) => !exact.failed.includes(id));
      const skipped = [...said, ...unasked(said, pick.inductor)];
      const missed = clearlyFailed(exact).filter((id) => !skipped.includes(id));
      return unjust.length + missed.length > 0 ? [{ pick: keyOf(pick), unjust, missed }] : [];
    });
    expect(differing).toEqual([]);
  });

  test("counts every combination once: judged = unfit + rejected + passed", () => {
    const { tally } = judge(read, duty);
    const unfit = [...tally.unfit.values()].reduce((sum, count) => sum + count, 0);
    const byFirst = tally.first.reduce((sum, count) => sum + count, 0);
    const byWorst = tally.worst.reduce((sum, count) => sum + count, 0);
    expect(unfit + byFirst + tally.passed).toBe(tally.judged);
    expect(byWorst).toBe(byFirst);
    const { motors, gearboxes, drives } = read.catalogue;
    expect(tally.judged).toBe(motors.length * (gearboxes.length + 1) * drives.length);
  });

  test("over a range of carried mass it never rejects what passes at some mass of the range", () => {
    const range = { low: 0.5, high: 8 };
    const accepted = new Set(candidates(judge(read, dutyWith(read, range))).map(keyOf));
    const masses = fc.sample(fc.double({ min: range.low, max: range.high, noNaN: true }), { seed: 25, numRuns: 1 });
    for (const mass of [range.low, range.high, ...masses]) {
      const exactly = dutyWith(read, { low: mass, high: mass });
      const passed = randomPicks(read, exactly, part(600), 26).filter(
        (pick) => judgeExactly(read, exactly, pick).failed.length === 0,
      );
      expect(passed.filter((pick) => !accepted.has(keyOf(pick)))).toEqual([]);
      // What the judging at that very mass lets through goes on as well.
      const lost = some(candidates(judge(read, exactly)), part(200), 27).filter((pick) => !accepted.has(keyOf(pick)));
      expect(lost.filter((pick) => judgeExactly(read, exactly, pick).failed.length === 0)).toEqual([]);
    }
  });
}
