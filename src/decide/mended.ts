import type { Column, Picks } from "../model/selection.ts";
import type { Court } from "./court.ts";
import { answerOf, type Round } from "./round.ts";
import { ridersFirst } from "./setup.ts";

/** So many of an axis's cheapest columns are tried. */
const TRIED = 120;

/**
 * The same picks with every axis that fails under what truly rides on it given its cheapest column that does not; riders
 * first, so that each carrier is mended under its final load. As they are where no column helps.
 */
export function mended(round: Round, court: Court, picks: Picks): Picks {
  let found = [...picks];
  round.setup.machines.forEach((machine, m) => {
    for (const axis of ridersFirst(machine)) found = mendedAxis(round, court, { machine: m, axis, picks: found });
  });
  return found;
}

interface AxisAt {
  readonly machine: number;
  readonly axis: number;
  readonly picks: number[];
}

function mendedAxis(round: Round, court: Court, { machine, axis, picks }: AxisAt): number[] {
  const group = round.built.places.findIndex(
    (place) => place.kind === "axes" && place.machine === machine && place.axes.length === 1 && place.axes[0] === axis,
  );
  if (group < 0 || holdsAt(round, court, { machine, axis, picks })) return picks;
  const costs = roughCosts(round, group, picks);
  const order = costs.map((_, k) => k).toSorted((a, b) => (costs[a] ?? 0) - (costs[b] ?? 0) || a - b);
  for (const column of order.slice(0, TRIED)) {
    const tried = picks.with(group, column);
    if (holdsAt(round, court, { machine, axis, picks: tried })) return tried;
  }
  return picks;
}

function holdsAt(round: Round, { evaluator, leniency }: Court, { machine, axis, picks }: AxisAt): boolean {
  const answer = answerOf(round, picks).machines[machine];
  if (answer === undefined) return false;
  const { judgement } = evaluator.axis(machine, axis, answer);
  return judgement.failed.length === 0 || leniency.axis(machine, axis, judgement);
}

/** What each column of a group would cost beside the other picks: its own cost, and the parts nobody else uses. */
function roughCosts({ built: { model } }: Round, group: number, picks: Picks): number[] {
  const others = new Set(
    model.groups.flatMap(({ columns }, g) => (g === group ? [] : (columns[picks[g] ?? -1]?.parts ?? []))),
  );
  const units = (model.groups[group]?.pools ?? []).reduce((sum, pool) => sum + (model.pools[pool]?.quantity ?? 1), 0);
  const own = ({ cost, parts }: Column): number =>
    parts.reduce((sum, index) => {
      const part = model.parts[index];
      return sum + units * (part?.steps[0]?.price ?? 0) + (others.has(index) ? 0 : (part?.fixed ?? 0));
    }, cost);
  return (model.groups[group]?.columns ?? []).map(own);
}
