import type { Scalar } from "../../maths/scalar.ts";
import { type Curve, positionAt } from "../motion/curve.ts";

/** A curve with the machine time [s] at which its own time starts. */
export interface Placed {
  readonly curve: Curve;
  readonly origin: number;
}

/** A signal of a curve: acceleration·q'' + speed·q' + constant + slope·τ + swing·cos(q + angle), τ from the curve's origin. */
export interface Blend {
  readonly acceleration: number;
  readonly speed: number;
  readonly constant: number;
  /** [1/s] of the constant. */
  readonly slope: number;
  /** Largest imbalance; 0 where there is none. */
  readonly swing: number;
  /** [rad] */
  readonly angle: number;
}

/** factor·blend, with more on acceleration and constant. Source: definition. */
export function scaledBlend(
  { acceleration, speed, constant, slope, swing, angle }: Blend,
  factor: number,
  more: { readonly acceleration: number; readonly constant: number },
): Blend {
  return {
    acceleration: more.acceleration + factor * acceleration,
    speed: factor * speed,
    constant: factor * constant + more.constant,
    slope: factor * slope,
    swing: factor * swing,
    angle,
  };
}

/** Polynomial of a blend and what its wave adds: coefficients once, so that a value costs one pass. */
interface Flat {
  readonly polynomial: readonly number[];
  readonly sine: number;
  readonly cosine: number;
}

function flatOf({ polynomial, wave }: Curve, { acceleration, speed, constant, slope }: Blend): Flat {
  const at = (k: number): number => polynomial[k] ?? 0;
  const values = [speed * at(1) + acceleration * 2 * at(2) + constant];
  for (let k = 1; k < polynomial.length - 1; k++)
    values.push(acceleration * (k + 2) * (k + 1) * at(k + 2) + speed * (k + 1) * at(k + 1));
  if (slope !== 0) values[1] = (values[1] ?? 0) + slope;
  while (values.length > 1 && values.at(-1) === 0) values.pop();
  if (wave === undefined) return { polynomial: values, sine: 0, cosine: 0 };
  const { amplitude, frequency } = wave;
  return { polynomial: values, sine: acceleration * amplitude, cosine: -speed * (amplitude / frequency) };
}

function horner(c: readonly number[], t: number): number {
  let sum = 0;
  for (let k = c.length - 1; k >= 0; k--) sum = sum * t + c[k]!;
  return sum;
}

/**
 * True where a blend keeps its sign over a span of machine time, by interval arithmetic; false: it may or may not.
 *
 * Source: R. E. Moore, Interval Analysis (Horner's scheme on an interval).
 */
export function keepsSign({ curve, origin }: Placed, blend: Blend, span: { from: number; to: number }): boolean {
  const [from, to] = [Math.max(0, span.from - origin), span.to - origin];
  const { polynomial, sine, cosine } = flatOf(curve, blend);
  let [least, most] = [0, 0];
  for (let k = polynomial.length - 1; k >= 0; k--) {
    least = Math.min(least * from, least * to) + polynomial[k]!;
    most = Math.max(most * from, most * to) + polynomial[k]!;
  }
  // Rounding is far below this share of what the interval spans.
  const rest = Math.abs(sine) + Math.abs(cosine) + Math.abs(blend.swing) + 1e-9 * (Math.abs(least) + Math.abs(most));
  return least > rest || most < -rest;
}

/** A blend as a function of machine time. Source: definition of the blend. */
export function blended({ curve, origin }: Placed, blend: Blend): Scalar {
  const { polynomial, sine, cosine } = flatOf(curve, blend);
  const [{ wave }, { swing, angle }] = [curve, blend];
  if (swing !== 0) {
    const steady = blended({ curve, origin }, { ...blend, swing: 0 });
    return (t) => steady(t) + swing * Math.cos(positionAt(curve, t - origin) + angle);
  }
  if (wave === undefined || (sine === 0 && cosine === 0)) {
    const [only = 0] = polynomial;
    return polynomial.length === 1 ? () => only : (t) => horner(polynomial, t - origin);
  }
  const { frequency, phase } = wave;
  if (cosine === 0) return (t) => horner(polynomial, t - origin) + sine * Math.sin(frequency * (t - origin) + phase);
  return (t) => {
    const turned = frequency * (t - origin) + phase;
    return horner(polynomial, t - origin) + sine * Math.sin(turned) + cosine * Math.cos(turned);
  };
}

/** Two signals at one instant; written anew at each reading. */
export interface Both {
  torque: number;
  speed: number;
}

/** Reads a torque and a speed of one curve at machine time t into `both`: what they share is worked out once. Source: definition of the blend. */
export function bothOf(placed: Placed, torque: Blend, speed: Blend): (t: number, both: Both) => void {
  const { curve, origin } = placed;
  const [first, second] = [flatOf(curve, torque), flatOf(curve, speed)];
  const [a, b] = [first.polynomial, second.polynomial];
  const { wave } = curve;
  const { swing, angle } = torque;
  if (wave === undefined && swing === 0) {
    return (t, both) => {
      both.torque = horner(a, t - origin);
      both.speed = horner(b, t - origin);
    };
  }
  const { frequency, phase } = wave ?? { frequency: 0, phase: 0 };
  return (t, both) => {
    const turned = frequency * (t - origin) + phase;
    const [sine, cosine] = [Math.sin(turned), Math.cos(turned)];
    const swung = swing === 0 ? 0 : swing * Math.cos(positionAt(curve, t - origin) + angle);
    both.torque = horner(a, t - origin) + first.sine * sine + first.cosine * cosine + swung;
    both.speed = horner(b, t - origin) + second.sine * sine + second.cosine * cosine;
  };
}
