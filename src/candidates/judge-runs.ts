import type { Duty } from "../physics/duty/duty.ts";
import { type Among, type Judged, type JudgedPair, type JudgeInput, judgeAxis } from "./judge-axis.ts";
import { type DriveStates, type Failures, newStates } from "./judge-drives.ts";
import { failedCount, unionOfFailed } from "./limit-scan.ts";
import type { Tally } from "./tally.ts";

/**
 * Judges an axis in every run of its machine, one after the other: what goes on passes in each.
 *
 * Where limits may be failed, a candidate fails what it fails in any run, and its worst excess is that of all.
 */
export function judgeRuns(inputs: readonly JudgeInput[], duties: readonly Duty[], most = 0): Judged {
  const [first, ...others] = inputs;
  const [duty, ...rest] = duties;
  if (first === undefined || duty === undefined) throw new RangeError("judgeRuns: no run");
  let judged = judgeAxis(first, duty, most);
  others.forEach((input, k) => {
    const next = rest[k];
    if (next !== undefined) judged = joined(judged, judgeAxis({ ...input, among: amongOf(judged) }, next, most));
  });
  return judged;
}

function amongOf({ pairs, states }: Judged): Among {
  const known = new Map(pairs.map(({ motor, gearbox }, p) => [keyOf(motor, gearbox), states[p]?.state]));
  return (motor, gearbox) => known.get(keyOf(motor, gearbox));
}

/** A number for each motor with a gearbox, of up to a million gearboxes. */
function keyOf(motor: number, gearbox: number): number {
  return motor * 2 ** 20 + gearbox + 1;
}

/** What goes on in both of two judgings, the second of which looked only at what was left of the first. */
function joined(before: Judged, after: Judged): Judged {
  const at = new Map(before.pairs.map(({ motor, gearbox }, p) => [keyOf(motor, gearbox), p]));
  const pairs: JudgedPair[] = [];
  const states: DriveStates[] = [];
  after.pairs.forEach((pair, q) => {
    const p = at.get(keyOf(pair.motor, pair.gearbox)) ?? -1;
    const [own, one, other] = [before.pairs[p], before.states[p], after.states[q]];
    if (own === undefined || one === undefined || other === undefined) return;
    const both = bothStates([one, other], before.most);
    if (both.state.every((how) => how === 0)) return;
    pairs.push({ ...own, ...worseOf(own, pair), inductors: commonInductors(own, pair) });
    states.push(both);
  });
  const tally = joinedTally(before.tally, after.tally, states);
  return { ...before, pairs, states, tally };
}

/** Alone (1) and with an inductor (2) are bits; marks are those of both together. */
function bothStates([one, other]: readonly [DriveStates, DriveStates], most: number): DriveStates {
  const both = newStates(one.state.length, most);
  for (let drive = 0; drive < both.state.length; drive++) {
    const how = one.state[drive]! & other.state[drive]!;
    both.state[drive] = most === 0 ? how : markedState(both, { one, other, drive, how, most });
  }
  return both;
}

interface Marking {
  readonly one: DriveStates;
  readonly other: DriveStates;
  readonly drive: number;
  readonly how: number;
  readonly most: number;
}

/** Notes what fails in either run, and lets through only what fails few enough limits in all. */
function markedState({ marks }: DriveStates, { one, other, drive, how, most }: Marking): number {
  let left = 0;
  for (const bit of [1, 2]) {
    const at = 4 * drive + (bit === 1 ? 0 : 2);
    const failed = unionOfFailed(one.marks[at]!, other.marks[at]!);
    marks[at] = failed;
    marks[at + 1] = Math.max(one.marks[at + 1]!, other.marks[at + 1]!);
    if ((how & bit) !== 0 && failedCount(failed) <= most) left += bit;
  }
  return left;
}

function worseOf(one: JudgedPair, other: JudgedPair): Failures {
  return { failed: unionOfFailed(one.failed, other.failed), by: Math.max(one.by, other.by) };
}

function commonInductors(one: JudgedPair, other: JudgedPair): JudgedPair["inductors"] {
  return new Map(
    [...one.inductors].map(([drive, list]) => {
      const also = other.inductors.get(drive) ?? [];
      return [drive, list.filter((inductor) => also.includes(inductor))];
    }),
  );
}

/** Turned down in either; left are those that both let through. */
function joinedTally(before: Tally, after: Tally, states: readonly DriveStates[]): Tally {
  return {
    judged: before.judged,
    passed: states.reduce((sum, { state }) => sum + state.filter((how) => how > 0).length, 0),
    unfit: before.unfit,
    first: before.first.map((count, k) => count + after.first[k]!),
    worst: before.worst.map((count, k) => count + after.worst[k]!),
  };
}
