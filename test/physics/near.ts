import { expect } from "vitest";

/** Expects two numbers within a share of the wanted one. */
export function expectRelative(found: number, wanted: number, share: number): void {
  expect(Math.abs(found - wanted), `${found} is not ${wanted}`).toBeLessThanOrEqual(share * Math.abs(wanted));
}

/** Expects two numbers within a distance. */
export function expectWithin(found: number, wanted: number, distance: number): void {
  expect(Math.abs(found - wanted), `${found} is not ${wanted}`).toBeLessThanOrEqual(distance);
}
