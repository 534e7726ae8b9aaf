import { GAUSS_16, gaussLegendre, integrate, type Rule } from "../../maths/quadrature.ts";
import { outdoes, type Peak, rootBetween, type Scalar } from "../../maths/scalar.ts";

/** A stretch of the period on which a heat is smooth. */
export interface HeatPiece {
  readonly from: number;
  readonly to: number;
  /** The heat is constant here. */
  readonly isSteady: boolean;
  readonly heat: Scalar;
}

/** A first-order response to a heat: τ·dx/dt = h − x, and what it counts in the sum that is looked for. */
export interface Response {
  /** τ [s] */
  readonly time: number;
  readonly weight: number;
}

/** Parts of a piece between which the sum may turn once each. */
const CELLS = 8;
/** What is older than so many time constants, in so many panels, is forgotten: e⁻⁴⁰ is below rounding. */
const PANELS = 4;
const PANEL_LENGTH = 10;
/** For panels within one time constant: a cell is an eighth of a smooth piece, and e^t on it all but a parabola. */
const GAUSS_8: Rule = Object.freeze(gaussLegendre(8));

/**
 * Largest Σ weight·x over the period, each x the response to one heat in periodic steady state.
 *
 * x(b) = x(a)·e^(−(b−a)/τ) + ∫_a^b h(t)·e^(−(b−t)/τ)/τ dt; x(0) = x(P) is linear in x(0), so
 * x(0) = (response from rest at P)/(1 − e^(−P/τ)). Inside a cell the sum is largest where its slope Σ weight·(h − x)/τ is 0.
 * Source: variation of constants for a linear differential equation of first order (textbook of differential equations).
 *
 * @param pieces - the period without gaps, in order
 */
export function largestResponse(pieces: readonly HeatPiece[], responses: readonly Response[]): Peak {
  const cells = pieces.flatMap(cellsOf);
  const states = responses.map(({ time }) => periodicStates(cells, time));
  const sums = Array.from({ length: cells.length + 1 }, (_, k) =>
    responses.reduce((sum, { weight }, r) => sum + weight * (states[r]?.[k] ?? 0), 0),
  );
  let best: Peak = { at: cells[0]?.from ?? 0, value: sums[0] ?? 0 };
  const offer = (at: number, value: number): void => {
    if (outdoes(value, best.value)) best = { at, value };
  };
  cells.forEach((cell, k) => {
    const inside = peakInside(
      cell,
      responses.map((response, r) => ({ ...response, start: states[r]?.[k] ?? 0, end: states[r]?.[k + 1] ?? 0 })),
    );
    if (inside !== undefined) offer(inside.at, inside.value);
    offer(cell.to, sums[k + 1] ?? 0);
  });
  return best;
}

/** Most that the largest response exceeds the mean of its heat, as a factor: r/(1 − e^(−r)), r = period/τ. Source: largest value of the periodic kernel. */
export function crestFactor(period: number, time: number): number {
  const periods = period / time;
  return periods / -Math.expm1(-periods);
}

function cellsOf(piece: HeatPiece): HeatPiece[] {
  if (piece.isSteady) return [piece];
  const { from, to } = piece;
  const border = (k: number): number => (k === CELLS ? to : from + ((to - from) * k) / CELLS);
  return Array.from({ length: CELLS }, (_, k) => ({ ...piece, from: border(k), to: border(k + 1) }));
}

/** States at the first border and after every cell. */
function periodicStates(cells: readonly HeatPiece[], time: number): number[] {
  const gains = cells.map((cell) => gained(cell, cell.to, time));
  const step = (state: number, k: number): number => kept(cells[k], time) * state + (gains[k] ?? 0);
  const fromRest = cells.reduce((state, _, k) => step(state, k), 0);
  const period = (cells.at(-1)?.to ?? 0) - (cells[0]?.from ?? 0);
  const states = [fromRest / -Math.expm1(-period / time)];
  cells.forEach((_, k) => states.push(step(states[k] ?? 0, k)));
  return states;
}

function kept(cell: HeatPiece | undefined, time: number): number {
  return cell === undefined ? 1 : Math.exp((cell.from - cell.to) / time);
}

/** Response at an instant of a cell to the heat since the cell began. */
function gained({ from, isSteady, heat }: HeatPiece, at: number, time: number): number {
  if (isSteady) return heat(from) * -Math.expm1((from - at) / time);
  const panels = Math.min(PANELS, Math.ceil((at - from) / (PANEL_LENGTH * time)));
  const rule = at - from <= time ? GAUSS_8 : GAUSS_16;
  const first = Math.max(from, at - PANELS * PANEL_LENGTH * time);
  const border = (k: number): number => first + ((at - first) * k) / panels;
  let sum = 0;
  for (let k = 0; k < panels; k++) {
    sum += integrate((t) => (heat(t) * Math.exp((t - at) / time)) / time, border(k), border(k + 1), rule);
  }
  return sum;
}

type Crossing = Response & { readonly start: number; readonly end: number };

/** Where the sum turns from rising to falling inside a cell. */
function peakInside(cell: HeatPiece, responses: readonly Crossing[]): Peak | undefined {
  const stateAt = ({ time, start }: Crossing, at: number): number =>
    start * Math.exp((cell.from - at) / time) + gained(cell, at, time);
  const slope = (at: number, state: (response: Crossing) => number): number => {
    const heat = cell.heat(at);
    return responses.reduce((sum, each) => sum + (each.weight * (heat - state(each))) / each.time, 0);
  };
  if (slope(cell.from, ({ start }) => start) <= 0 || slope(cell.to, ({ end }) => end) >= 0) return undefined;
  const at = rootBetween((t) => slope(t, (each) => stateAt(each, t)), cell.from, cell.to);
  return { at, value: responses.reduce((sum, each) => sum + each.weight * stateAt(each, at), 0) };
}
