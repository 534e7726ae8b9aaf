/** What is better in each response: less, or more. */
export type Wishes = readonly ("lower" | "raise")[];

/**
 * Places of the points that no other point beats: none is at least as good in every response and better in one. Equal
 * points stay together. Points with a null (infeasible) never count.
 *
 * Two responses take a sort; more take the sort and comparisons with what has been kept, which is all that can beat.
 * Source: H. T. Kung, F. Luccio, F. P. Preparata, "On finding the maxima of a set of vectors", J. ACM 22 (1975) 469.
 */
export function paretoFront(points: readonly (readonly (number | null)[])[], wishes: Wishes): number[] {
  const ranked = points
    .flatMap((point, place) => {
      const costs = point.map((value, k) => (value === null ? null : wishes[k] === "raise" ? -value : value));
      return costs.every((cost) => cost !== null) ? [{ place, costs }] : [];
    })
    .toSorted((a, b) => lexical(a.costs, b.costs));
  const kept = wishes.length === 2 ? stairs(ranked) : unbeaten(ranked);
  return kept.map(({ place }) => place).toSorted((a, b) => a - b);
}

interface Ranked {
  readonly place: number;
  /** Lower is better. */
  readonly costs: readonly number[];
}

function lexical(a: readonly number[], b: readonly number[]): number {
  const k = a.findIndex((cost, place) => cost !== b[place]);
  return k < 0 ? 0 : (a[k] ?? 0) - (b[k] ?? 0);
}

/** By rising first cost only a lower second cost, or an equal point, counts. */
function stairs(ranked: readonly Ranked[]): Ranked[] {
  const kept: Ranked[] = [];
  for (const point of ranked) {
    const last = kept.at(-1);
    if (last === undefined || (point.costs[1] ?? 0) < (last.costs[1] ?? 0) || lexical(point.costs, last.costs) === 0) {
      kept.push(point);
    }
  }
  return kept;
}

/** In lexical order nothing is beaten by what comes after it. */
function unbeaten(ranked: readonly Ranked[]): Ranked[] {
  const kept: Ranked[] = [];
  for (const point of ranked) {
    if (!kept.some((other) => beats(other.costs, point.costs))) kept.push(point);
  }
  return kept;
}

function beats(a: readonly number[], b: readonly number[]): boolean {
  return a.every((cost, k) => cost <= (b[k] ?? 0)) && a.some((cost, k) => cost < (b[k] ?? 0));
}
