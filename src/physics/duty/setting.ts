import type { TimeSeries } from "../../machine/mechanism.ts";
import type { Axis } from "../../machine/problem.ts";
import { speedAt } from "../motion/curve.ts";
import type { MotionPiece } from "../motion/cycle.ts";
import { type LoadState, loadState } from "./load-force.ts";
import { between, type Span } from "./spans.ts";

/** An axis on one piece of its motion. */
export interface Setting {
  readonly axis: Axis;
  readonly piece: MotionPiece;
  readonly state: LoadState;
}

/** A value along a span: constant + slope·(t − from of the motion piece). */
export interface Line {
  readonly constant: number;
  readonly slope: number;
}

/** A span on which the forces that come from tables run straight. */
export interface ForcedSpan extends Span {
  /** Sum of the tables [N], rotary [N·m]. */
  readonly applied: Line;
}

/** Puts an axis on a piece of its motion. Source: see `loadState`. @param carried - mass riding on it [kg] */
export function settingOf(axis: Axis, piece: MotionPiece, carried: number): Setting {
  return { axis, piece, state: loadState(axis, axis.motion[piece.segment], carried) };
}

/**
 * Which way a piece that moves goes. It goes the same way from end to end; near the ends of a move rounding must not turn it
 * round. Source: definition.
 */
export function wayOf({ axis, piece: { curve, from, to, segment } }: Pick<Setting, "axis" | "piece">): -1 | 1 {
  const spec = axis.motion[segment];
  const way = spec?.kind === "move" ? spec.distance : speedAt(curve, (to - from) / 2);
  return way > 0 ? 1 : -1;
}

/** The piece cut at the rows of the tables of force that count on it. Source: linear interpolation. */
export function forcedSpans({ axis, piece }: Setting): ForcedSpan[] {
  const { from, to, since, listed, segment } = piece;
  const tables: Placed[] = [
    ...placedTable(axis.load.forceTable, listed),
    ...placedTable(axis.motion[segment]?.forceTable, since),
    ...placedTable(axis.mechanism.kind === "measured" ? axis.mechanism.torque : undefined, listed),
  ];
  const rows = tables.flatMap((table) => rowsInside(table, to - from)).toSorted((a, b) => a - b);
  const borders = [from, ...[...new Set(rows)].map((row) => from + row).filter((t) => t < to), to];
  return between(borders).map((span) => ({ ...span, applied: appliedOn(tables, (span.from + span.to) / 2 - from) }));
}

/** Tables of force at an instant of a motion piece [N], rotary [N·m]. Source: linear interpolation. */
export function tableForceAt(axis: Axis, piece: MotionPiece, after: number): number {
  const tables = [
    ...placedTable(axis.load.forceTable, piece.listed),
    ...placedTable(axis.motion[piece.segment]?.forceTable, piece.since),
  ];
  const { constant, slope } = appliedOn(tables, after);
  return constant + slope * after;
}

/** A table, and the time of it at which the piece begins. */
interface Placed {
  readonly table: TimeSeries;
  readonly at: number;
}

function placedTable(table: TimeSeries | undefined, at: number): Placed[] {
  return table === undefined ? [] : [{ table, at }];
}

/** Rows after the piece's beginning, as times from there [s]. */
function rowsInside({ table: { times }, at }: Placed, length: number): number[] {
  return times.slice(rowAfter(times, at), rowAfter(times, at + length)).map((time) => time - at);
}

/** Index of the first row after a time; the number of rows where there is none. */
function rowAfter(times: readonly number[], time: number): number {
  let [low, high] = [0, times.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((times[middle] ?? 0) > time) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** Sum of the tables around an instant of the piece; after its last row a table stays. */
function appliedOn(tables: readonly Placed[], instant: number): Line {
  let [constant, slope] = [0, 0];
  for (const { table, at } of tables) {
    const line = lineAround(table, at + instant);
    constant += line.constant + line.slope * at;
    slope += line.slope;
  }
  return { constant, slope };
}

/** The straight line of a table around a time, as a function of the table's time. */
function lineAround({ times, values }: TimeSeries, time: number): Line {
  const next = rowAfter(times, time);
  if (next === 0 || next === times.length) return { constant: values.at(next === 0 ? 0 : -1) ?? 0, slope: 0 };
  const [t0 = 0, t1 = 0, v0 = 0, v1 = 0] = [times[next - 1], times[next], values[next - 1], values[next]];
  const slope = (v1 - v0) / (t1 - t0);
  return { constant: v0 - slope * t0, slope };
}

/** A table at a time; after its last row it stays. Source: linear interpolation. */
export function valueAt(table: TimeSeries, time: number): number {
  const { constant, slope } = lineAround(table, time);
  return constant + slope * time;
}
