import { finiteField } from "./finite-field.ts";

/** Orders of the conference matrices offered; there is none of order 22 or 34. */
const ORDERS: readonly number[] = [4, 6, 8, 10, 12, 14, 16, 18, 20, 24, 26, 28, 30, 32];

/**
 * Smallest order offered that holds a number of columns; undefined: none.
 *
 * Source: a conference matrix of order n ≡ 2 (mod 4) needs n − 1 to be a sum of two squares (D. Raghavarao, Ann. Math.
 * Stat. 30 (1959) 806–812): not so for 22.
 */
export function conferenceOrder(columns: number): number | undefined {
  return ORDERS.find((order) => order >= columns);
}

/**
 * A conference matrix: zeros on the diagonal, ±1 elsewhere, C'C = (n − 1)·I.
 *
 * Source: R. E. A. C. Paley, "On orthogonal matrices", J. Math. Phys. 12 (1933) 311–320; order 16 by doubling the skew
 * one of order 8, [S, S + I; S − I, −S] (J. Seberry, M. Yamada, Hadamard Matrices, on skew Hadamard matrices).
 *
 * @param order - one of those {@link conferenceOrder} gives
 */
export function conferenceMatrix(order: number): number[][] {
  return order === 16 ? doubledSkew(paleyConference(7)) : paleyConference(order - 1);
}

/**
 * [0 1'; ±1 Q] with Q the quadratic characters of differences in a field; skew where the order of the field is 3 modulo 4.
 *
 * Source: Paley (1933).
 *
 * @param q - order of a field that {@link finiteField} knows
 */
export function paleyConference(q: number): number[][] {
  const field = finiteField(q);
  if (field === undefined) return [];
  const elements = Array.from({ length: q }, (_, a) => a);
  const squares = new Set(elements.slice(1).map((a) => field.multiply(a, a)));
  const character = (a: number): number => {
    if (a === 0) return 0;
    return squares.has(a) ? 1 : -1;
  };
  const border = q % 4 === 3 ? -1 : 1;
  return [
    [0, ...elements.map(() => 1)],
    ...elements.map((a) => [border, ...elements.map((b) => character(field.subtract(a, b)))]),
  ];
}

function doubledSkew(skew: readonly (readonly number[])[]): number[][] {
  return [
    ...skew.map((row, i) => [...row, ...plus(row, i, 1)]),
    ...skew.map((row, i) => [...plus(row, i, -1), ...row.map((s) => -s)]),
  ];
}

function plus(row: readonly number[], i: number, x: number): number[] {
  return row.map((s, k) => (k === i ? s + x : s));
}
