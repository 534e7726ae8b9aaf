import type { LawName } from "../machine/problem.ts";

/**
 * The motion laws, written as accelerations and integrated here. Nothing of the program's own laws is used:
 * a law is a chain of stretches, each with one smooth acceleration of arbitrary height; the chain is then scaled
 * so that it covers unit distance in unit time. Published characteristic values only appear in the tests.
 */

/** One smooth stretch of an acceleration curve; x runs from 0 to `length`; integrals start at 0. */
interface Stretch {
  readonly length: number;
  readonly acceleration: (x: number) => number;
  readonly speedGain: (x: number) => number;
  readonly distance: (x: number) => number;
}

/** A stretch of a law in the law's own time 0..1, scaled to unit distance. */
export interface LawPiece {
  readonly from: number;
  readonly to: number;
  readonly position: (u: number) => number;
  readonly speed: (u: number) => number;
  readonly acceleration: (u: number) => number;
}

/** Shares that shape a trapezoid or an s-curve. */
export interface LawShares {
  readonly accelerate: number;
  readonly decelerate: number;
  readonly jerk: number;
}

/** a = Σ c_k·x^k; both integrals term by term. */
function polynomialStretch(length: number, c: readonly number[]): Stretch {
  const sum = (x: number, term: (k: number) => number, raise: number): number =>
    c.reduce((total, factor, k) => total + factor * term(k) * x ** (k + raise), 0);
  return {
    length,
    acceleration: (x) => sum(x, () => 1, 0),
    speedGain: (x) => sum(x, (k) => 1 / (k + 1), 1),
    distance: (x) => sum(x, (k) => 1 / ((k + 1) * (k + 2)), 2),
  };
}

/** a = h·sin(w·x + p). */
function sineStretch(length: number, h: number, w: number, p: number): Stretch {
  return {
    length,
    acceleration: (x) => h * Math.sin(w * x + p),
    speedGain: (x) => (h / w) * (Math.cos(p) - Math.cos(w * x + p)),
    distance: (x) => (h / w) * (Math.cos(p) * x - (Math.sin(w * x + p) - Math.sin(p)) / w),
  };
}

const flat = (length: number, h: number): Stretch => polynomialStretch(length, [h]);
const slope = (length: number, from: number, to: number): Stretch =>
  polynomialStretch(length, [from, length > 0 ? (to - from) / length : 0]);

/** Sine rise b/2, flat c/2, cosine d, flat c/2, sine b/2 (b + c + d = 1). Source: shared/reference/physics, motion laws. */
function sineFamily(b: number, c: number, d: number): Stretch[] {
  return [
    sineStretch(b / 2, 1, Math.PI / b, 0),
    flat(c / 2, 1),
    sineStretch(d, 1, Math.PI / d, Math.PI / 2),
    flat(c / 2, -1),
    sineStretch(b / 2, 1, Math.PI / b, Math.PI * 1.5),
  ];
}

/** One ramp of an s-curve of height h: jerk, constant, jerk back. */
function softRamp(share: number, jerk: number, h: number): Stretch[] {
  return [slope(jerk * share, 0, h), flat((1 - 2 * jerk) * share, h), slope(jerk * share, h, 0)];
}

const SHAPES: Readonly<Record<LawName, (shares: LawShares) => Stretch[]>> = {
  trapezoid: ({ accelerate: p, decelerate: d }) => [flat(p, 1 / p), flat(1 - p - d, 0), flat(d, -1 / d)],
  triangle: () => [flat(0.5, 1), flat(0.5, -1)],
  "s-curve": ({ accelerate: p, decelerate: d, jerk }) => [
    ...softRamp(p, jerk, 1 / p),
    flat(1 - p - d, 0),
    ...softRamp(d, jerk, -1 / d),
  ],
  harmonic: () => [sineStretch(1, 1, Math.PI, Math.PI / 2)],
  cycloidal: () => [sineStretch(1, 1, 2 * Math.PI, 0)],
  "modified-trapezoid": () => sineFamily(0.25, 0.5, 0.25),
  "modified-sine": () => sineFamily(0.25, 0, 0.75),
  "polynomial-5": () => [polynomialStretch(1, [0, 60, -180, 120])],
  "polynomial-7": () => [polynomialStretch(1, [0, 0, 420, -1680, 2100, -840])],
};

/** The pieces of a law, unit distance in unit time, without the empty ones. */
export function lawPieces(law: LawName, shares: LawShares): LawPiece[] {
  const stretches = SHAPES[law](shares).filter(({ length }) => length > 1e-12);
  let speed = 0;
  let position = 0;
  let from = 0;
  const raw: { s: Stretch; from: number; speed: number; position: number }[] = [];
  for (const s of stretches) {
    raw.push({ s, from, speed, position });
    position += speed * s.length + s.distance(s.length);
    speed += s.speedGain(s.length);
    from += s.length;
  }
  // Time runs 0..1 by construction; only the height is still free.
  const scale = 1 / position;
  return raw.map(({ s, from: begin, speed: v0, position: q0 }) => ({
    from: begin,
    to: begin + s.length,
    position: (u) => scale * (q0 + v0 * (u - begin) + s.distance(u - begin)),
    speed: (u) => scale * (v0 + s.speedGain(u - begin)),
    acceleration: (u) => scale * s.acceleration(u - begin),
  }));
}

/** da/du by differences of second order; side 1: to the right alone, −1: to the left alone. */
function slopeInside({ acceleration: a }: LawPiece, side: -1 | 0 | 1, u: number, h: number): number {
  if (side === 0) return (a(u + h) - a(u - h)) / (2 * h);
  return (side * (4 * a(u + side * h) - 3 * a(u) - a(u + 2 * side * h))) / (2 * h);
}

/** Largest speed, acceleration and jerk of a law, unit distance in unit time; where the acceleration jumps, jerk is Infinity. */
export interface LawPeaks {
  readonly speed: number;
  readonly acceleration: number;
  readonly jerk: number;
}

/** Characteristic values of a law by dense sampling: largest speed and acceleration, jerk by differences inside a piece. */
export function lawPeaks(pieces: readonly LawPiece[]): LawPeaks {
  const n = 20_000;
  let speed = 0;
  let acceleration = 0;
  let jerk = 0;
  for (const piece of pieces) {
    const h = (piece.to - piece.from) / n;
    for (let k = 0; k <= n; k++) {
      const u = piece.from + k * h;
      speed = Math.max(speed, Math.abs(piece.speed(u)));
      acceleration = Math.max(acceleration, Math.abs(piece.acceleration(u)));
      jerk = Math.max(jerk, Math.abs(slopeInside(piece, k === 0 ? 1 : k === n ? -1 : 0, u, h)));
    }
  }
  const ends = [pieces[0], pieces.at(-1)].map((p, side) => Math.abs(p === undefined ? 0 : p.acceleration(side)));
  const jumps = pieces
    .slice(1)
    .map((p, k) => Math.abs(p.acceleration(p.from) - (pieces[k]?.acceleration(p.from) ?? 0)));
  const jumping = [...ends, ...jumps].some((jump) => jump > 1e-9 * acceleration);
  return { speed, acceleration, jerk: jumping ? Infinity : jerk };
}
