import { number } from "../read-setup.ts";
import type { Measurement } from "./measure.ts";
import type { Seconds } from "./task.ts";

/** Seconds of all steps by the clock, or how else it ended. */
export function secondsText({ end, steps, found }: Measurement, limit: number): string {
  const { clock } = sumOf(steps);
  if (end === "late" || (found?.status === "stopped" && clock > 0.98 * limit)) return `over ${limit} s`;
  if (end === "memory") return "out of memory";
  if (end === "failed") return "failed";
  return `${oneSeconds(clock)} s`;
}

/** Seconds as a table shows them. */
function oneSeconds(seconds: number): string {
  return seconds.toFixed(seconds < 10 ? 2 : 1);
}

function sumOf(steps: ReadonlyMap<string, Seconds>): Seconds {
  const sum = { clock: 0, processor: 0 };
  for (const { clock, processor } of steps.values()) {
    sum.clock += clock;
    sum.processor += processor;
  }
  return sum;
}

/** Processor time, memory, status, cost and, where not proved, the gap. */
export function answerText({ end, steps, within, mebibytes, found }: Measurement): string {
  const memory = mebibytes === undefined ? [] : [`${number(Math.round(mebibytes))} MiB`];
  if (found === undefined) return [...memory, ...(within === undefined ? [end] : [`in step ${within}`])].join(", ");
  const { status, cost, bound } = found;
  const processor = `cpu ${oneSeconds(sumOf(steps).processor)} s`;
  const gap = cost !== undefined && bound !== undefined && status === "feasible" ? [gapText(cost, bound)] : [];
  return [processor, ...memory, status, ...(cost === undefined ? [] : [euros(cost)]), ...gap].join(", ");
}

function gapText(cost: number, bound: number): string {
  return `gap ${((100 * (cost - bound)) / cost).toFixed(2)} %`;
}

/** Money with two decimals, from cents. */
function euros(cents: number): string {
  return (cents / 100).toLocaleString("en-GB", { minimumFractionDigits: 2, maximumFractionDigits: 2 });
}
