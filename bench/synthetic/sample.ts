import type { Random } from "../../catalogs/make/seeded.ts";

/**
 * So many of a list at random, in the order of the list.
 *
 * @throws Error when the list is shorter
 */
export function sampled<T>(list: readonly T[], count: number, random: Random): T[] {
  if (count > list.length) throw new Error(`${count} wanted of a list of ${list.length}`);
  const keys = list.map(() => random());
  const border = keys.toSorted((a, b) => a - b)[count] ?? Number.POSITIVE_INFINITY;
  return list.filter((_, at) => (keys[at] ?? 1) < border);
}

/**
 * So many of a list, spread evenly over it, the first one among them.
 *
 * @throws Error when the list is shorter
 */
export function spreadOver<T>(list: readonly T[], count: number): T[] {
  if (count > list.length) throw new Error(`${count} wanted of a list of ${list.length}`);
  return list.filter((_, at) => Math.ceil(((at + 1) * count) / list.length) > Math.ceil((at * count) / list.length));
}
