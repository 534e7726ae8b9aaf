import { number } from "../read-setup.ts";
import type { Measurement } from "./measure.ts";
import type { Seconds } from "./task.ts";

/** Seconds of all steps by the clock, or how else it ended. */
export function secondsText({ end, steps, found }: Measurement, limit: number): string {
  const { clock } = sumOf(steps);
  const isCutShort = found !== undefined && found.status !== "optimal" && clock > 0.97 * limit;
  if (end === "late" || isCutShort) return `over ${limit} s`;
  if (end === "memory") return "out of memory";
  if (end === "failed") return "failed";
  return `${oneSeconds(clock)} s`;
}

/** Seconds as a table shows them. */
function oneSeconds(seconds: number): string {
  return seconds.toFixed(seconds < 10 ? 2 : 1);
}

/** All steps together but for the named ones. */
export function sumOf(steps: ReadonlyMap<string, Seconds>, without: readonly string[] = []): Seconds {
  const sum = { clock: 0, processor: 0 };
  for (const [name, { clock, processor }] of steps) {
    if (without.includes(name)) continue;
    sum.clock += clock;
    sum.processor += processor;
  }
  return sum;
}

/** Processor time, memory, status, cost and, where not proved, the gap. */
export function answerText({ steps, within, mebibytes, found }: Measurement): string {
  const processor = `cpu ${oneSeconds(sumOf(steps).processor)} s`;
  const memory = mebibytes === undefined ? [] : [`${number(Math.round(mebibytes))} MiB`];
  if (found === undefined)
    return [processor, ...memory, ...(within === undefined ? [] : [`ended in: ${within}`])].join(", ");
  const { status, cost, bound } = found;
  const isOpen = cost !== undefined && bound !== undefined && status === "feasible";
  const gap = isOpen ? [`gap ${((100 * (cost - bound)) / cost).toFixed(2)} %`] : [];
  return [processor, ...memory, status, ...(cost === undefined ? [] : [euros(cost)]), ...gap].join(", ");
}

/** Money with two decimals, from cents. */
function euros(cents: number): string {
  return (cents / 100).toLocaleString("en-GB", { minimumFractionDigits: 2, maximumFractionDigits: 2 });
}

/** Processor seconds of every step. */
export function stepsText({ steps, within }: Measurement): string {
  const done = [...steps].map(([name, { processor }]) => `${name} ${oneSeconds(processor)}`);
  return `cpu: ${[...done, ...(within === undefined ? [] : [`${within} not done`])].join(", ")}`;
}

/** What was counted on the way. */
export function countsText({ counts }: Measurement, names: readonly string[]): string {
  return names.flatMap((name) => (counts.has(name) ? [`${number(counts.get(name) ?? 0)} ${name}`] : [])).join(", ");
}
