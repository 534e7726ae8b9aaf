/** What a number must be near to; `expect(found).toEqual(within(…))` prints it when it is not. */
interface Near {
  readonly wanted: number;
  readonly distance: number;
  readonly asymmetricMatch: (found: unknown) => boolean;
}

/** Matches numbers within a distance of the wanted one; Infinity matches itself. */
export function within(wanted: number, distance: number): Near {
  return {
    wanted,
    distance,
    asymmetricMatch: (found) => found === wanted || (typeof found === "number" && Math.abs(found - wanted) <= distance),
  };
}

/** Matches numbers within a share of the wanted one. */
export function near(wanted: number, share: number): Near {
  return within(wanted, share * Math.abs(wanted));
}
