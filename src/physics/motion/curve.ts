import type { Stretch } from "./motion-law.ts";

/**
 * Position on one stretch, τ from its start: q(τ) = Σ polynomial[k]·τ^k − amplitude/frequency²·sin(frequency·τ + phase).
 * Speed and acceleration follow by differentiation; all three are exact.
 */
export interface Curve {
  readonly polynomial: readonly number[];
  /** Of the acceleration. */
  readonly wave?: { readonly amplitude: number; readonly frequency: number; readonly phase: number };
}

/** Curve of a stretch that starts at a position and a speed. Source: acceleration integrated twice. */
export function curveOf(stretch: Stretch, position: number, speed: number): Curve {
  const { wave } = stretch;
  const polynomial = [position, speed, ...stretch.polynomial.map((c, k) => c / ((k + 1) * (k + 2)))];
  if (wave === undefined) return { polynomial };
  const { amplitude, frequency, phase } = wave;
  polynomial[0] = position + (amplitude / frequency ** 2) * Math.sin(phase);
  polynomial[1] = speed + (amplitude / frequency) * Math.cos(phase);
  return { polynomial, wave };
}

/** Unit distance in unit time → distance in time; the curve's own origin stays at τ = 0. Source: q(t) = s·q₁(t/T). */
export function scaleCurve(curve: Curve, distance: number, time: number): Curve {
  const polynomial = curve.polynomial.map((c, k) => (c * distance) / time ** k);
  if (curve.wave === undefined) return { polynomial };
  const { amplitude, frequency, phase } = curve.wave;
  return { polynomial, wave: { amplitude: (amplitude * distance) / time ** 2, frequency: frequency / time, phase } };
}

/** The same curve seen from a later origin: q'(τ) = q(τ + later). Source: Taylor's theorem, exact for polynomials. */
export function advanceCurve(curve: Curve, later: number): Curve {
  const polynomial = curve.polynomial.map((_, k) => taylor(curve.polynomial, k, later));
  if (curve.wave === undefined) return { polynomial };
  return { polynomial, wave: { ...curve.wave, phase: curve.wave.phase + curve.wave.frequency * later } };
}

function taylor(c: readonly number[], k: number, at: number): number {
  let sum = 0;
  for (let n = c.length - 1; n >= k; n--) sum = sum * at + (c[n] ?? 0) * choose(n, k);
  return sum;
}

function choose(n: number, k: number): number {
  let product = 1;
  for (let j = 0; j < k; j++) product = (product * (n - j)) / (j + 1);
  return product;
}

/** q(τ). Source: the definition of the curve. */
export function positionAt({ polynomial, wave }: Curve, t: number): number {
  let sum = 0;
  for (let k = polynomial.length - 1; k >= 0; k--) sum = sum * t + (polynomial[k] ?? 0);
  if (wave === undefined) return sum;
  return sum - (wave.amplitude / wave.frequency ** 2) * Math.sin(wave.frequency * t + wave.phase);
}

/** q'(τ). Source: differentiation. */
export function speedAt({ polynomial, wave }: Curve, t: number): number {
  let sum = 0;
  for (let k = polynomial.length - 1; k >= 1; k--) sum = sum * t + k * (polynomial[k] ?? 0);
  if (wave === undefined) return sum;
  return sum - (wave.amplitude / wave.frequency) * Math.cos(wave.frequency * t + wave.phase);
}

/** q''(τ). Source: differentiation. */
export function accelerationAt({ polynomial, wave }: Curve, t: number): number {
  let sum = 0;
  for (let k = polynomial.length - 1; k >= 2; k--) sum = sum * t + k * (k - 1) * (polynomial[k] ?? 0);
  if (wave === undefined) return sum;
  return sum + wave.amplitude * Math.sin(wave.frequency * t + wave.phase);
}
