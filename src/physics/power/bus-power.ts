import { type Enclosure, enclosureOf, SERIES_NODES } from "../../maths/legendre-series.ts";
import { GAUSS_16 } from "../../maths/quadrature.ts";
import { outdoes, peakOn, rootsInside, type Scalar } from "../../maths/scalar.ts";
import { joinedSpans, type Span } from "../duty/spans.ts";
import type { PairPower } from "./pair-power.ts";

/** Power of one bus over the machine cycle: the sum of its axes, smooth on each stretch. */
export interface BusPower {
  readonly period: number;
  readonly stretches: readonly Stretch[];
  /** What is worked out of the stretches when first asked for. */
  readonly found: { readonly most: () => PowerPeak; readonly back: () => PowerPeak; readonly window: () => Window };
}

/** A stretch on which the sum is smooth; in a `BusPower` it keeps its sign. */
export interface Stretch {
  readonly from: number;
  readonly to: number;
  /** ΣP [W] */
  readonly power: Scalar;
  /** ∫ΣP [J] */
  readonly energy: number;
  /** ΣP in its middle [W]: its sign is the stretch's. */
  readonly middle: number;
  /** Bounds of ΣP, and its values at the ends [W]. */
  readonly bounds: Enclosure;
}

/** One axis on the bus: its pair and what its drive loses per ampere [W/A]. */
export interface BusLoad {
  readonly pair: PairPower;
  readonly lossPerAmp: number;
}

/**
 * Sum of axes that share a cycle, plus a constant (fixed losses, axes outside the cycle).
 *
 * Source: power balance of the bus.
 *
 * @param loads - all of the same period
 * @param constant - [W]
 */
export function busPower(loads: readonly BusLoad[], constant: number, period: number): BusPower {
  return raised(loadSum(loads, period), constant, period);
}

/** The sum alone, smooth on each stretch, of whatever sign: constants are added by `raised`. Source: as for `busPower`. */
export function loadSum(loads: readonly BusLoad[], period: number): readonly Stretch[] {
  const borders = bordersOf(loads, period);
  const cursors = loads.map(() => 0);
  return borders.slice(1).map((to, k) => {
    const from = borders[k] ?? 0;
    const parts = loads.map(({ pair, lossPerAmp }, a) => {
      const middle = (from + to) / 2;
      while (cursors[a] !== undefined && (pair.pieces[cursors[a] ?? 0]?.to ?? middle) < middle)
        cursors[a] = (cursors[a] ?? 0) + 1;
      return { piece: pair.pieces[cursors[a] ?? 0], lossPerAmp };
    });
    const power: Scalar = (t) => {
      let sum = 0;
      for (const { piece, lossPerAmp } of parts) if (piece !== undefined) sum += piece.power(t, lossPerAmp);
      return sum;
    };
    return stretchOf(power, from, to);
  });
}

/** A sum of loads and a constant [W]. Source: as for `busPower`. */
export function raised(sum: readonly Stretch[], constant: number, period: number): BusPower {
  const stretches = sum.flatMap((stretch) => signed(raisedStretch(stretch, constant)));
  const found = {
    most: once(() => largest(stretches, 1)),
    back: once(() => largest(stretches, -1)),
    window: once(() => widest(stretches, period)),
  };
  return { period, stretches, found };
}

function once<T>(make: () => T): () => T {
  let kept: { readonly value: T } | undefined;
  return () => {
    kept ??= { value: make() };
    return kept.value;
  };
}

function bordersOf(loads: readonly BusLoad[], period: number): number[] {
  const times = [0, period];
  for (const { pair } of loads) for (const { from, to } of pair.pieces) times.push(from, to);
  const sorted = times.toSorted((a, b) => a - b);
  return sorted.filter((t, k) => k === 0 || t - (sorted[k - 1] ?? 0) > 1e-12 * period);
}

/** The stretch, cut where its power changes sign. Bounds that keep one sign spare the search. */
function signed(whole: Stretch): Stretch[] {
  const { from, to, power } = whole;
  if (whole.bounds.least > 0 || whole.bounds.most < 0) return [whole];
  const roots = rootsInside(power, from, to, 16);
  if (roots.length === 0) return [whole];
  const borders = [from, ...roots, to];
  return borders.slice(1).map((end, k) => stretchOf(power, borders[k] ?? from, end));
}

function raisedStretch({ from, to, power, energy, middle, bounds }: Stretch, constant: number): Stretch {
  return {
    from,
    to,
    power: (t) => power(t) + constant,
    energy: energy + constant * (to - from),
    middle: middle + constant,
    bounds: {
      least: bounds.least + constant,
      most: bounds.most + constant,
      first: bounds.first + constant,
      last: bounds.last + constant,
    },
  };
}

function stretchOf(power: Scalar, from: number, to: number): Stretch {
  const { nodes, weights } = GAUSS_16;
  const [half, middle] = [(to - from) / 2, (to + from) / 2];
  const values: number[] = [];
  let sum = 0;
  for (let i = 0; i < SERIES_NODES; i++) {
    const value = power(middle + half * nodes[i]!);
    values.push(value);
    sum += weights[i]! * value;
  }
  return { from, to, power, energy: sum * half, middle: power(middle), bounds: enclosureOf(values) };
}

/** An instant with the side it is looked at from: at a jump of power the two differ. */
export interface Instant {
  readonly time: number;
  /** Some time inside the stretch that gives the value. */
  readonly inside: number;
}

/** A largest power and when [W]. */
export interface PowerPeak extends Instant {
  readonly value: number;
}

/** Largest value of sign·ΣP over the cycle, one-sided; the earliest among equals. Source: extreme value of a smooth function. */
export function powerPeak({ found }: BusPower, sign: 1 | -1): PowerPeak {
  return sign > 0 ? found.most() : found.back();
}

/** Only stretches whose bounds reach what some end reaches are searched. */
function largest(stretches: readonly Stretch[], sign: 1 | -1): PowerPeak {
  let reached = Number.NEGATIVE_INFINITY;
  for (const { bounds } of stretches) reached = Math.max(reached, sign * bounds.first, sign * bounds.last);
  const worth = reached - 1e-8 * Math.abs(reached);
  let best: PowerPeak = { time: 0, inside: 0, value: Number.NEGATIVE_INFINITY };
  for (const { from, to, power, bounds } of stretches) {
    if ((sign > 0 ? bounds.most : -bounds.least) < worth) continue;
    const found = peakOn((t) => sign * power(t), from, to, { floor: best.value });
    if (outdoes(found.value, best.value)) best = { time: found.at, inside: (from + to) / 2, value: found.value };
  }
  return best;
}

/** Spans of the cycle on which ΣP has a sign, as few as there can be. Source: definition. */
export function spansOfSign({ stretches }: BusPower, sign: 1 | -1): Span[] {
  return joinedSpans(stretches.filter(({ middle }) => sign * middle > 0));
}

/** Mean over the cycle of ΣP where it has a sign: ≥ 0 for +1, ≤ 0 for −1 [W]. Source: definition. */
export function meanOfSign({ stretches, period }: BusPower, sign: 1 | -1): number {
  return stretches.reduce((sum, { middle, energy }) => (sign * middle > 0 ? sum + energy : sum), 0) / period;
}

/** Mean of ΣP over the cycle [W]. Source: definition. */
export function meanPower({ stretches, period }: BusPower): number {
  return stretches.reduce((sum, { energy }) => sum + energy, 0) / period;
}

/** The window of the cycle that gives back most energy on the whole, and how much [J]; it may wrap. */
export interface Window {
  readonly spans: readonly Span[];
  readonly energy: number;
}

/**
 * Largest net energy given back over any window: the largest fall of ∫ΣP, found at the borders where ΣP changes sign.
 *
 * Two cycles are looked at, because a window may run over the end of one. A bus that gives back more than it takes over
 * the whole cycle has no largest window: Infinity.
 * Source: maximum-subarray argument (J. Bentley, Programming Pearls); definition.
 */
export function worstWindow({ found }: BusPower): Window {
  return found.window();
}

function widest(stretches: readonly Stretch[], period: number): Window {
  const energies = stretches.map(({ energy }) => -energy);
  const count = stretches.length;
  if (energies.reduce((all, energy) => all + energy, 0) > 0) {
    return { spans: [{ from: 0, to: period }], energy: Number.POSITIVE_INFINITY };
  }
  let best = { first: 0, last: -1, energy: 0 };
  let [start, sum] = [0, 0];
  for (let k = 0; k < 2 * count; k++) {
    sum += energies[k % count] ?? 0;
    if (sum > best.energy * (1 + 1e-12) && k - start < count) best = { first: start, last: k, energy: sum };
    if (sum <= 0) [start, sum] = [k + 1, 0];
  }
  const spans: Span[] = [];
  for (let k = best.first; k <= best.last; k++) {
    const stretch = stretches[k % count];
    if (stretch !== undefined) spans.push({ from: stretch.from, to: Math.min(stretch.to, period) });
  }
  return { spans, energy: best.energy };
}
