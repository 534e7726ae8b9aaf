/** A finite field of odd order: its elements are 0 … order − 1. */
export interface FiniteField {
  readonly order: number;
  readonly subtract: (a: number, b: number) => number;
  readonly multiply: (a: number, b: number) => number;
}

/**
 * x^degree in lower powers, constant first, for prime powers: x² = −1 in GF(9), x² = 2 in GF(25), x³ = x − 1 in GF(27).
 *
 * Source: irreducible because −1 is no square modulo 3, 2 none modulo 5, and x³ − x + 1 has no root modulo 3.
 */
const REDUCTIONS: Readonly<Record<number, { readonly prime: number; readonly rest: readonly number[] }>> = {
  9: { prime: 3, rest: [2, 0] },
  25: { prime: 5, rest: [2, 0] },
  27: { prime: 3, rest: [2, 1, 0] },
};

/**
 * The field of an order; undefined where there is none here.
 *
 * @param order - an odd prime, 9, 25 or 27
 */
export function finiteField(order: number): FiniteField | undefined {
  if (isOddPrime(order)) {
    return {
      order,
      subtract: (a, b) => (a - b + order) % order,
      multiply: (a, b) => (a * b) % order,
    };
  }
  const reduction = REDUCTIONS[order];
  return reduction === undefined ? undefined : extensionField(order, reduction);
}

function isOddPrime(n: number): boolean {
  if (n < 3 || n % 2 === 0) return false;
  for (let d = 3; d * d <= n; d += 2) if (n % d === 0) return false;
  return true;
}

/** Elements as polynomials, their coefficients as the digits of a number to the base of the prime. */
function extensionField(order: number, { prime, rest }: { prime: number; rest: readonly number[] }): FiniteField {
  const degree = rest.length;
  const digits = (a: number): number[] => Array.from({ length: degree }, (_, k) => Math.floor(a / prime ** k) % prime);
  const number = (coefficients: readonly number[]): number =>
    coefficients.reduce((sum, c, k) => sum + (((c % prime) + prime) % prime) * prime ** k, 0);
  const multiply = (a: number, b: number): number => {
    const product = Array.from({ length: 2 * degree - 1 }, () => 0);
    digits(a).forEach((x, i) => {
      digits(b).forEach((y, j) => {
        product[i + j]! += x * y;
      });
    });
    for (let k = product.length - 1; k >= degree; k -= 1) {
      rest.forEach((c, j) => {
        product[k - degree + j]! += c * (product[k] ?? 0);
      });
    }
    return number(product.slice(0, degree));
  };
  return { order, subtract: (a, b) => number(digits(a).map((x, k) => x - (digits(b)[k] ?? 0))), multiply };
}
