import * as fc from "fast-check";
import { expect, test } from "vitest";
import { GAUSS_16, gaussLegendre, integrate } from "../../src/maths/quadrature.ts";

// Closed forms of the Legendre polynomials' roots; M. Abramowitz, I. Stegun, Handbook of Mathematical Functions, table 25.4 (from memory).
const RULES = [
  { n: 1, nodes: [0], weights: [2] },
  { n: 2, nodes: [-Math.sqrt(1 / 3), Math.sqrt(1 / 3)], weights: [1, 1] },
  { n: 3, nodes: [-Math.sqrt(3 / 5), 0, Math.sqrt(3 / 5)], weights: [5 / 9, 8 / 9, 5 / 9] },
  {
    n: 5,
    nodes: [-0.906179845938664, -0.538469310105683, 0, 0.538469310105683, 0.906179845938664],
    weights: [0.236926885056189, 0.478628670499366, 0.568888888888889, 0.478628670499366, 0.236926885056189],
  },
];

test.each(RULES)("Gauss-Legendre rule of $n nodes", ({ n, nodes, weights }) => {
  const rule = gaussLegendre(n);
  expect(rule.nodes).toHaveLength(n);
  rule.nodes.forEach((node, k) => expect(node).toBeCloseTo(nodes[k] ?? Number.NaN, 14));
  rule.weights.forEach((weight, k) => expect(weight).toBeCloseTo(weights[k] ?? Number.NaN, 14));
});

test("16 nodes integrate every power up to 31 exactly, and not 32", () => {
  for (let degree = 0; degree <= 31; degree++) {
    expect(integrate((t) => t ** degree, -1, 1)).toBeCloseTo(degree % 2 === 0 ? 2 / (degree + 1) : 0, 14);
  }
  expect(Math.abs(integrate((t) => t ** 32, -1, 1) / (2 / 33) - 1)).toBeGreaterThan(1e-9);
  expect(GAUSS_16.weights.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(2, 14);
});

// Closed-form integrals.
test.each([
  { name: "∫ sin over half a turn is 2", f: Math.sin, from: 0, to: Math.PI, value: 2 },
  { name: "∫ 4/(1 + t²) over 0…1 is π", f: (t: number) => 4 / (1 + t * t), from: 0, to: 1, value: Math.PI },
  { name: "∫ exp over 0…1 is e − 1", f: Math.exp, from: 0, to: 1, value: Math.E - 1 },
  {
    name: "∫ cos² over a quarter wave is π/4",
    f: (t: number) => Math.cos(t) ** 2,
    from: 0,
    to: Math.PI / 2,
    value: Math.PI / 4,
  },
])("$name", ({ f, from, to, value }) => {
  expect(integrate(f, from, to)).toBeCloseTo(value, 13);
});

const f = (t: number): number => Math.exp(t) * Math.sin(t) + t ** 5;

test("an integral splits anywhere and changes sign with its direction", () => {
  const time = fc.double({ min: -2, max: 2, noNaN: true });
  fc.assert(
    fc.property(time, time, time, (a, b, c) => {
      expect(integrate(f, a, b) + integrate(f, b, c)).toBeCloseTo(integrate(f, a, c), 10);
      expect(integrate(f, b, a)).toBeCloseTo(-integrate(f, a, b), 12);
    }),
    { seed: 5 },
  );
});
