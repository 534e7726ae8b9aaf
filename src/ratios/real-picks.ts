import { worstOfRuns } from "../decide/worst-of-runs.ts";
import type { LimitId } from "../machine/limit.ts";
import type { Needs } from "../machine/problem.ts";
import { judgePick, type PickJudgement } from "../physics/limits/judge-pick.ts";
import { type PickDuty, type PickParts, pickDuty } from "../physics/limits/pick-duty.ts";
import { axisPrice } from "./money.ts";
import type { IndexedMotor, Subject } from "./subject.ts";
import { anyDrive, gearboxesFor, type Option, type Survey } from "./survey.ts";
import { thresholdOf } from "./windows.ts";

/** Parts of the catalogues on the axis, judged in full. */
export interface RealPick {
  readonly parts: PickParts;
  /** In each run. */
  readonly picks: readonly PickDuty[];
  /** Every limit where it is nearest to failing. */
  readonly judgement: PickJudgement;
  /** [cent] */
  readonly price: number;
}

/** A motor with each real gearbox that carries it, by ratio, then price. */
export function realPicks(subject: Subject, motor: IndexedMotor, survey: Survey): RealPick[] {
  const own = survey.get(motor.index);
  const found = gearboxesFor(subject, motor).flatMap(({ index, gearbox }) => {
    const pick = bestOf(subject, own?.get(index) ?? []);
    if (pick !== undefined) return [pick];
    const drive = anyDrive(subject, motor);
    return drive === undefined ? [] : [judgedPick(subject, { motor: motor.motor, gearbox, ...drive })];
  });
  return found.toSorted((a, b) => ratioOf(a) - ratioOf(b) || a.price - b.price);
}

/** The cheapest that passes exactly, else the one that fails least; undefined of none. */
function bestOf(subject: Subject, options: readonly Option[]): RealPick | undefined {
  const passing = cheapestPassing(subject, options);
  if (passing !== undefined) return passing;
  const [first, ...others] = options;
  const least = others.reduce((best, other) => (other.by < (best?.by ?? 0) ? other : best), first);
  return least === undefined ? undefined : judgedPick(subject, least.parts);
}

/** The first option that passes exactly. @param options - cheapest first */
function cheapestPassing(subject: Subject, options: readonly Option[]): RealPick | undefined {
  for (const { parts, by } of options) {
    if (by > 0) continue;
    const pick = judgedPick(subject, parts);
    if (pick.judgement.failed.length === 0) return pick;
  }
  return undefined;
}

/** Parts judged in every run. */
function judgedPick(subject: Subject, parts: PickParts): RealPick {
  const { axis, machine, duties } = subject;
  const picks = duties.map((duty) => pickDuty(duty, parts, { site: axis.site, bus: axis.voltage }));
  const judgement = worstOfRuns(picks.map(judgePick), machine.runs);
  return { parts, picks, judgement, price: axisPrice(subject, parts) };
}

export function ratioOf({ parts }: Pick<RealPick, "parts">): number {
  return parts.gearbox?.ratio ?? 1;
}

/** The pick whose drive the curves take: the cheapest that passes, else the one whose worst limit is exceeded least. */
export function leadingPick(subject: Subject, picks: readonly RealPick[]): RealPick | undefined {
  const { needs } = subject.axis.axis;
  const rank = (pick: RealPick): readonly [number, number] =>
    pick.judgement.failed.length === 0 ? [0, pick.price] : [excessOf(needs, pick.judgement), pick.price];
  const [first] = picks
    .map((pick) => ({ pick, by: rank(pick) }))
    .toSorted((a, b) => a.by[0] - b.by[0] || a.by[1] - b.by[1]);
  return first?.pick;
}

/** Highest utilisation over what its limit lets through; Infinity where an unknown fails or nothing is allowed. */
function excessOf(needs: Needs, { limits, failed }: PickJudgement): number {
  const uses = new Map<LimitId, number>(limits.map(({ id, utilisation }) => [id, utilisation ?? Infinity]));
  return failed.reduce((most, id) => Math.max(most, (uses.get(id) ?? Infinity) / thresholdOf(needs, id)), 0);
}
