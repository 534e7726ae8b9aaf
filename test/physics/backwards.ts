import type { Segment } from "../../src/machine/problem.ts";
import type { Duty } from "../../src/physics/duty/duty.ts";

/** The same motion run backwards in time. */
export function backwards(motion: readonly Segment[]): Segment[] {
  return motion.toReversed().map((segment) => {
    if (segment.kind === "move")
      return {
        ...segment,
        distance: -segment.distance,
        accelerate: segment.decelerate ?? 1 / 3,
        decelerate: segment.accelerate ?? 1 / 3,
      };
    if (segment.kind !== "follow") return segment;
    const { of, times, values } = segment.table;
    const sign = of === "velocity" ? -1 : 1;
    const table = {
      of,
      times: times.toReversed().map((t) => (times.at(-1) ?? 0) - t),
      values: values.toReversed().map((value) => sign * value),
    };
    return { ...segment, table };
  });
}

function far(found: number | undefined, wanted: number, scale: number): boolean {
  return !(Math.abs((found ?? Number.NaN) - wanted) <= 1e-9 * scale + 1e-300);
}

/** Where a duty is not another's with motoring and regenerating exchanged and shaft power with its sign turned. */
export function unswapped(there: Duty, back: Duty): string[] {
  const swapped = [0, 2, 1, 3, 4];
  const size = (k: number): number => Math.sqrt(there.gram[6 * k] ?? 0);
  const faults: string[] = [];
  for (let r = 0; r < 4; r++) {
    const row = swapped[r] ?? 0;
    for (let c = 0; c < 4; c++) {
      const column = swapped[c] ?? 0;
      const wanted = there.gram[5 * row + column] ?? 0;
      if (far(back.gram[5 * r + c], wanted, size(row) * size(column))) faults.push(`gram ${r} ${c}`);
    }
    const wanted = -(there.power[row] ?? 0);
    if (far(back.power[r], wanted, size(row) * Math.sqrt(there.meanSquareSpeed))) faults.push(`power ${r}`);
  }
  return faults;
}
