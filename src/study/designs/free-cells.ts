import type { DesignFactor } from "./family.ts";
import { type Random, shuffled } from "./random.ts";

/** The cell of a coded value, the range cut into so many; on a border the upper one, beyond the range the last. */
export function cellOf(coded: number, cells: number): number {
  // A border is met by rounding from either side.
  return Math.max(0, Math.min(cells - 1, Math.floor(((coded + 1) / 2) * cells + 1e-9)));
}

/**
 * What new points can have of a factor beside old ones, in random order: the middles of cells without a point, or levels
 * so that in the end each is there as often as the others, up to one.
 *
 * @param old - what the old points have
 * @param cells - runs in the end
 */
export function freeValues(
  old: readonly number[],
  { factor, cells, random }: { readonly factor: DesignFactor; readonly cells: number; readonly random: Random },
): number[] {
  const { levels } = factor;
  if (levels !== undefined) return shuffled(scarceLevels(old, levels, cells), random);
  const taken = new Set(old.map((coded) => cellOf(coded, cells)));
  const free = Array.from({ length: cells }, (_, cell) => cell).filter((cell) => !taken.has(cell));
  return shuffled(free, random).map((cell) => (2 * cell + 1) / cells - 1);
}

/** Levels for the runs to come, each time the one met least so far. */
function scarceLevels(old: readonly number[], levels: number, cells: number): number[] {
  const met = Array.from({ length: levels }, (_, level) => old.filter((x) => x === level).length);
  return Array.from({ length: Math.max(0, cells - old.length) }, () => {
    const level = met.indexOf(Math.min(...met));
    met[level]! += 1;
    return level;
  });
}
