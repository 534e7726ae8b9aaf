/** A function of one variable. */
export type Scalar = (t: number) => number;

/** Where a function is largest, and how large. */
export interface Peak {
  readonly at: number;
  readonly value: number;
}

const GOLDEN = (Math.sqrt(5) - 1) / 2;

/** Root of f between a and b, where f changes sign; bisection safeguarded by the secant, to rounding. */
export function rootBetween(f: Scalar, a: number, b: number): number {
  let [low, high] = [a, b];
  let [atLow, atHigh] = [f(a), f(b)];
  for (let step = 0; step < 200 && atLow !== 0 && atHigh !== 0; step++) {
    const next = nextGuess({ low, high, atLow, atHigh }, step);
    if (next === low || next === high) break;
    const value = f(next);
    if (Math.sign(value) === Math.sign(atLow)) [low, atLow] = [next, value];
    else [high, atHigh] = [next, value];
  }
  return atLow === 0 || (atHigh !== 0 && Math.abs(atLow) < Math.abs(atHigh)) ? low : high;
}

interface Bracket {
  readonly low: number;
  readonly high: number;
  readonly atLow: number;
  readonly atHigh: number;
}

/** The secant where it stays inside, two times of three; else the middle, which is an end once nothing lies between. */
function nextGuess({ low, high, atLow, atHigh }: Bracket, step: number): number {
  const middle = (low + high) / 2;
  if (step % 3 === 2 || middle === low || middle === high) return middle;
  const secant = low - (atLow * (high - low)) / (atHigh - atLow);
  return secant > low && secant < high ? secant : middle;
}

/**
 * All roots of a smooth function inside (from, to), ascending: sign changes between samples, and pairs of roots that
 * hide between samples where |f| dips (refined to the dip's bottom).
 *
 * @param samples - number of intervals looked at; f should turn at most once in each
 */
export function rootsInside(f: Scalar, from: number, to: number, samples = 32): number[] {
  const values: number[] = [];
  let scale = 0;
  for (let k = 0; k <= samples; k++) {
    const value = f(from + ((to - from) * k) / samples);
    values.push(value);
    scale = Math.max(scale, Math.abs(value));
  }
  if (scale === 0) return [];
  const roots: number[] = [];
  for (let k = 0; k < samples; k++) {
    const [fa, fb] = [values[k]!, values[k + 1]!];
    if (fa * fb > 0 && Math.abs(fa) > 0.2 * scale) continue;
    const grid = (m: number): number => from + ((to - from) * m) / samples;
    roots.push(...rootsInCell(f, { grid, values, k, scale }));
  }
  return roots.length === 0 ? roots : inside(roots, from, to);
}

interface Cell {
  readonly grid: (k: number) => number;
  readonly values: readonly number[];
  readonly k: number;
  readonly scale: number;
}

function rootsInCell(f: Scalar, { grid, values, k, scale }: Cell): number[] {
  const [a, b] = [grid(k), grid(k + 1)];
  const [fa, fb] = [values[k]!, values[k + 1]!];
  if (fa * fb < 0) return [rootBetween(f, a, b)];
  if (k === 0) return [];
  if (fa === 0) return [a];
  return dips(values[k - 1]!, fa, fb) && Math.abs(fa) <= 0.2 * scale ? rootsOfDip(f, grid(k - 1), b) : [];
}

/** True where three samples of one sign have the smallest magnitude in the middle. */
function dips(before: number, here: number, after: number): boolean {
  const least = Math.abs(here) <= Math.abs(before) && Math.abs(here) <= Math.abs(after);
  return least && here * before > 0 && here * after > 0;
}

/** The pair of roots around the bottom of a dip, if it reaches beyond zero. */
function rootsOfDip(f: Scalar, from: number, to: number): number[] {
  const sign = Math.sign(f(from));
  const bottom = goldenPeak((t) => -sign * f(t), from, to);
  return bottom.value <= 0 ? [] : [rootBetween(f, from, bottom.at), rootBetween(f, bottom.at, to)];
}

function inside(roots: readonly number[], from: number, to: number): number[] {
  const near = 1e-12 * Math.max(Math.abs(from), Math.abs(to), to - from);
  const sorted = roots.toSorted((a, b) => a - b).filter((t) => t > from + near && t < to - near);
  return sorted.filter((t, k) => k === 0 || t - (sorted[k - 1] ?? 0) > near);
}

/** Largest value of a function with one peak on [from, to], by golden section. */
export function goldenPeak(f: Scalar, from: number, to: number): Peak {
  let [a, b] = [from, to];
  let [x, y] = [b - GOLDEN * (b - a), a + GOLDEN * (b - a)];
  let [fx, fy] = [f(x), f(y)];
  while (b - a > 1e-8 * (Math.abs(a) + Math.abs(b)) && b - a > 1e-14) {
    if (fx >= fy) {
      [b, y, fy] = [y, x, fx];
      x = b - GOLDEN * (b - a);
      fx = f(x);
    } else {
      [a, x, fx] = [x, y, fy];
      y = a + GOLDEN * (b - a);
      fy = f(y);
    }
  }
  return fx >= fy ? { at: x, value: fx } : { at: y, value: fy };
}

/** How closely to look for a peak. */
export interface PeakSearch {
  /** Intervals looked at; the function should turn at most once in each. */
  readonly samples?: number;
  /** Peaks below this are of no interest: they are not refined. */
  readonly floor?: number;
}

/** Largest value of a smooth function on [from, to], ends included; the earliest among equals. */
export function peakOn(
  f: Scalar,
  from: number,
  to: number,
  { samples = 16, floor = Number.NEGATIVE_INFINITY }: PeakSearch = {},
): Peak {
  const step = (to - from) / samples;
  const values: number[] = [];
  let [at, top, least] = [from, Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
  for (let k = 0; k <= samples; k++) {
    const value = f(from + k * step);
    values.push(value);
    if (value > top) [at, top] = [from + k * step, value];
    if (value < least) least = value;
  }
  const spread = top - least;
  // Between samples a smooth function rises above them by a small share of its spread only.
  if (spread === 0 || top + 0.25 * spread < floor) return { at, value: top };
  return refined(f, { values, from, step, best: { at, value: top }, worth: top - 0.1 * spread });
}

interface Sampled {
  readonly values: readonly number[];
  readonly from: number;
  readonly step: number;
  readonly best: Peak;
  /** Samples below this are not looked into. */
  readonly worth: number;
}

function refined(f: Scalar, { values, from, step, best, worth }: Sampled): Peak {
  const last = values.length - 1;
  let found = best;
  for (let k = 0; k <= last; k++) {
    const value = values[k] ?? 0;
    const isTop = value >= worth && value >= (values[k - 1] ?? value) && value >= (values[k + 1] ?? value);
    if (!isTop) continue;
    if (isEndPeak(f, { values, from, step }, k)) continue;
    const peak = goldenPeak(f, from + Math.max(0, k - 1) * step, from + Math.min(last, k + 1) * step);
    if (peak.value > found.value) found = peak;
  }
  return found;
}

/** True at an end that the function still rises to: with one peak to a cell, nothing beside it is larger. */
function isEndPeak(f: Scalar, { values, from, step }: Pick<Sampled, "values" | "from" | "step">, k: number): boolean {
  const last = values.length - 1;
  if (k !== 0 && k !== last) return false;
  const beside = from + (k === 0 ? 1e-6 : last - 1e-6) * step;
  return f(beside) < (values[k] ?? 0);
}

/** True where a value outdoes the best so far by more than rounding, so that the earliest of equals stays. */
export function outdoes(value: number, best: number): boolean {
  return best === Number.NEGATIVE_INFINITY ? value > best : value > best + 1e-9 * Math.abs(best);
}
