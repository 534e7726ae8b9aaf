import { candidateOf, eachCandidate } from "../candidates/each-candidate.ts";
import { failedCount } from "../candidates/limit-scan.ts";
import { type AxisColumn, columnOf } from "../decide/axis-columns.ts";
import { type EvaluatedAxis, evaluatorOf } from "../decide/evaluate.ts";
import { judgedAxis } from "../decide/judged-axis.ts";
import type { Setup } from "../decide/setup.ts";
import { worstOfRuns } from "../decide/worst-of-runs.ts";
import { entryOf } from "../faults/entry-of.ts";
import type { Limit, LimitId, Unchecked } from "../machine/limit.ts";
import { judgePick } from "../physics/limits/judge-pick.ts";
import { pickDuty } from "../physics/limits/pick-duty.ts";
import type { Obstacle } from "./explanation.ts";
import type { AxisPlace } from "./swap.ts";

/** So many candidates, those that fail least, are judged exactly. */
const LOOKED_AT = 40;
/** So many are shown. */
const SHOWN = 3;

/**
 * What stands in the way of an axis without candidates: the nearest ones, and what they fail by how much.
 *
 * @param carried - lightest load that can ride on it [kg]
 */
export function obstacleOf(setup: Setup, place: AxisPlace, carried: number): Obstacle {
  const near = nearest(setup, place, carried);
  const [best] = near;
  if (best === undefined) return { ...place, limits: [], unknown: [], nearest: [], note: unfitNote(setup, place) };
  return {
    ...place,
    limits: failsOf(best),
    unknown: unknownOf(best),
    nearest: near
      .slice(0, SHOWN)
      .map((one) => ({ names: namesOf(one.column), fails: failsOf(one), unknown: unknownOf(one) })),
    note: `no combination in the catalogues passes every limit of this axis${wholeNote(near)}`,
  };
}

interface Near {
  readonly column: AxisColumn;
  readonly judgement: EvaluatedAxis["judgement"];
}

function nearest(setup: Setup, { machine, axis: a }: AxisPlace, carried: number): Near[] {
  const axis = setup.machines[machine]?.axes[a];
  if (axis === undefined) return [];
  const range = { low: carried, high: carried };
  const judged = judgedAxis(axis, setup.catalogue, { range, judging: { most: Number.POSITIVE_INFINITY } }).looks[0]
    ?.judged;
  if (judged === undefined) return [];
  const found: { column: AxisColumn; count: number }[] = [];
  eachCandidate(judged, (pair, drive, inductor, index) => {
    const candidate = candidateOf(judged, { pair, index, drive, inductor });
    const count = failedCount(candidate.failed);
    const last = found.at(-1);
    if (
      found.length >= LOOKED_AT &&
      last !== undefined &&
      order({ count, by: candidate.by }, { count: last.count, by: last.column.by }) >= 0
    )
      return;
    const column = columnOf(candidate, setup.catalogue, { at: 0, cases: [range] });
    if (column !== undefined) found.push({ column, count });
    found.sort((x, y) => order({ count: x.count, by: x.column.by }, { count: y.count, by: y.column.by }));
    if (found.length > LOOKED_AT) found.pop();
  });
  const duties = evaluatorOf(setup).duties(machine, a, carried);
  const around = { site: axis.site, bus: axis.voltage };
  const near = found.map(({ column }) => ({
    column,
    judgement: worstOfRuns(
      duties.map((duty) => judgePick(pickDuty(duty, column, around))),
      entryOf(setup.machines, machine).runs,
    ),
  }));
  return near.toSorted((x, y) => x.judgement.failed.length - y.judgement.failed.length || worstOf(x) - worstOf(y));
}

function order(one: { count: number; by: number }, other: { count: number; by: number }): number {
  if (one.count !== other.count) return one.count - other.count;
  return one.by === other.by ? 0 : one.by - other.by;
}

function broken({ judgement }: Near): Limit[] {
  return judgement.limits.filter(({ id }) => judgement.failed.includes(id));
}

function worstOf(near: Near): number {
  return Math.max(0, ...broken(near).map(({ utilisation }) => utilisation ?? Number.MAX_VALUE));
}

function failsOf(near: Near): Obstacle["limits"] {
  return broken(near).map(({ id, demand, allowed }) => ({ id, demand, allowed }));
}

/** What it fails for want of a catalogue value. */
function unknownOf({ judgement: { unchecked, failed } }: Near): Unchecked[] {
  return unchecked.filter(({ id }) => failed.includes(id));
}

function namesOf({ motor, gearbox, drive }: AxisColumn): Obstacle["nearest"][number]["names"] {
  return { motor: motor.part, gearbox: gearbox?.part ?? null, ratio: gearbox?.ratio ?? 1, drive: drive.part };
}

/** Limits that the axis fails whatever is picked for it. */
const WHATEVER: Readonly<Partial<Record<LimitId, string>>> = {
  "axis.critical_speed":
    "whatever is picked, the screw turns too fast for its diameter, length and ends: change the screw or the motion",
};

function wholeNote(near: readonly Near[]): string {
  const failed = new Set(near.flatMap(({ judgement }) => judgement.failed));
  const notes = [...failed].flatMap((id) => WHATEVER[id] ?? []);
  return notes.map((note) => `; ${note}`).join("");
}

/** Why no combination fits at all, before any limit. */
function unfitNote(setup: Setup, { machine, axis }: AxisPlace): string {
  const fit = setup.machines[machine]?.axes[axis]?.fit;
  if (fit === undefined) return "";
  const empty = [
    fit.motors.length === 0 ? "motor" : "",
    fit.gearboxes.length === 0 ? "gearbox" : "",
    fit.drives.length === 0 ? "drive" : "",
  ].filter((kind) => kind !== "");
  if (empty.length === 0)
    return "no motor, gearbox and drive of the catalogues go together on this axis (frame, feedback)";
  return `no ${empty.join(", no ")} of the catalogues is allowed on this axis by its needs, its allow list and its bus`;
}
