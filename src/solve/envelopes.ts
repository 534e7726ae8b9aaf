import type { Weights } from "./bound.ts";
import type { Core } from "./core.ts";

/** Scales the multipliers of each envelope down until they sum to its cost at most. */
export function limitEnvelopes(core: Core, weights: Weights): void {
  const { envelopes } = core.model;
  if (envelopes.length === 0) return;
  const first = core.linkCount + core.caps.length;
  const sums = new Float64Array(envelopes.length);
  for (const [index, { envelope, scale }] of core.rows.entries()) {
    if (envelope >= 0) sums[envelope]! += weights[first + index]! / scale;
  }
  for (const [index, { envelope }] of core.rows.entries()) {
    // Shrunk by a little more than needed, so that rounding cannot lift the sum above the cost.
    if (envelope >= 0 && sums[envelope]! > envelopes[envelope]!.cost) {
      weights[first + index]! *= (envelopes[envelope]!.cost / sums[envelope]!) * (1 - 1e-12);
    }
  }
}

/** Share of an envelope's cost within which its multipliers count as summing to it. */
const FULL = 1e-9;

/**
 * Turns a direction along the envelopes whose multipliers sum to their cost already: what would only be scaled away again
 * is taken out of it, least in the measure of `reach`. Otherwise it would count for most of the direction's length, and
 * steps would hardly move the multipliers that can move.
 *
 * @param direction - written to; nowhere below zero where a multiplier is zero
 * @param reach - by multiplier: a step adds reach · direction
 */
export function turnAlongEnvelopes(
  core: Core,
  weights: Weights,
  { direction, reach }: { readonly direction: Float64Array; readonly reach: Float64Array },
): void {
  const { envelopes } = core.model;
  const first = core.linkCount + core.caps.length;
  for (let envelope = 0; envelope < envelopes.length; envelope += 1) {
    const rows = rowsOf(core, envelope);
    const sum = rows.reduce((all, row) => all + weights[first + row]! / core.rows[row]!.scale, 0);
    if (sum < envelopes[envelope]!.cost * (1 - FULL)) continue;
    turnAlong({ core, first, weights, direction, reach }, rows);
  }
}

interface Turn {
  readonly core: Core;
  /** Place of the first row among the multipliers. */
  readonly first: number;
  readonly weights: Weights;
  readonly direction: Float64Array;
  readonly reach: Float64Array;
}

/** Projects on the face Σ direction / scale = 0; multipliers at zero that would fall below it stay where they are. */
function turnAlong({ core, first, weights, direction, reach }: Turn, rows: readonly number[]): void {
  const scaleOf = (row: number): number => core.rows[row]!.scale;
  let free = rows;
  while (free.length > 0) {
    const [rise, all] = free.reduce(
      ([up, size], row) => {
        const share = reach[first + row]! / scaleOf(row);
        return [up + share * direction[first + row]!, size + share / scaleOf(row)];
      },
      [0, 0],
    );
    if (rise <= 0) return;
    const taken = rise / all;
    const turned = (row: number): number => direction[first + row]! - taken / scaleOf(row);
    const isHeld = (row: number): boolean => weights[first + row] === 0 && turned(row) < 0;
    const moving = free.filter((row) => !isHeld(row));
    if (moving.length === free.length) {
      for (const row of free) direction[first + row] = turned(row);
      return;
    }
    for (const row of free) if (isHeld(row)) direction[first + row] = 0;
    free = moving;
  }
}

function rowsOf({ rows }: Core, envelope: number): readonly number[] {
  return rows.flatMap((row, at) => (row.envelope === envelope ? [at] : []));
}
