/** Nodes in (−1, 1) and weights of a quadrature rule. */
export interface Rule {
  readonly nodes: readonly number[];
  readonly weights: readonly number[];
}

/**
 * Gauss-Legendre rule with n nodes, exact for polynomials up to degree 2n − 1.
 *
 * Source: Newton's iteration on the Legendre recurrence; NIST Digital Library of Mathematical Functions, 3.5(v).
 *
 * @param n - number of nodes, ≥ 1
 */
export function gaussLegendre(n: number): Rule {
  const nodes: number[] = [];
  const weights: number[] = [];
  for (let i = 0; i < n; i++) {
    const { root, slope } = legendreRoot(n, Math.cos((Math.PI * (i + 0.75)) / (n + 0.5)));
    nodes.push(-root);
    weights.push(2 / ((1 - root * root) * slope * slope));
  }
  return { nodes, weights };
}

function legendreRoot(n: number, guess: number): { root: number; slope: number } {
  let root = guess;
  let slope = 1;
  for (let step = 0; step < 100; step++) {
    const { value, derivative } = legendre(n, root);
    slope = derivative;
    const change = value / derivative;
    root -= change;
    if (Math.abs(change) < 1e-16) break;
  }
  return { root, slope };
}

function legendre(n: number, x: number): { value: number; derivative: number } {
  let before = 1;
  let value = x;
  for (let k = 2; k <= n; k++) [before, value] = [value, ((2 * k - 1) * x * value - (k - 1) * before) / k];
  if (n === 0) return { value: 1, derivative: 0 };
  return { value, derivative: (n * (x * value - before)) / (x * x - 1) };
}

/** 16 nodes: exact to degree 31, and to rounding for the waves of the motion laws over a piece. */
export const GAUSS_16: Rule = Object.freeze(gaussLegendre(16));

/** ∫ f over [from, to] by a rule. */
export function integrate(f: (t: number) => number, from: number, to: number, rule: Rule = GAUSS_16): number {
  const half = (to - from) / 2;
  const middle = (to + from) / 2;
  let sum = 0;
  for (let i = 0; i < rule.nodes.length; i++) sum += (rule.weights[i] ?? 0) * f(middle + half * (rule.nodes[i] ?? 0));
  return sum * half;
}
