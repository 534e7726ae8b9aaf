import { isSetup, type Setup, setupOf } from "../src/decide/setup.ts";
import { readProblem } from "../src/input/read-problem.ts";

/** A shipped problem, read and made ready. */
export async function readSetup(path: string): Promise<Setup> {
  const read = await readProblem(path);
  if (!read.ok) throw new Error(`${path} has ${read.faults.length} faults; \`fewframe check\` lists them`);
  const setup = setupOf(read.value.problem, read.value.catalogue);
  if (!isSetup(setup)) throw new Error(`${path} has a motion that cannot be`);
  return setup;
}

/** Seconds that a task takes, and what it gives. */
export async function timed<T>(task: () => T | Promise<T>): Promise<{ seconds: number; value: T }> {
  const begin = performance.now();
  const value = await task();
  return { seconds: (performance.now() - begin) / 1000, value };
}

/** Middle one of several timings [s]: a busy machine spoils single ones. */
export function median(seconds: readonly number[]): number {
  return seconds.toSorted((a, b) => a - b)[Math.floor(seconds.length / 2)] ?? Number.NaN;
}

/** One line of a table: name, figure, what it means. */
export function line(name: string, figure: string, meaning = ""): void {
  console.log(`${name.padEnd(46)}${figure.padStart(14)}  ${meaning}`.trimEnd());
}

/** Four significant digits, thousands apart. */
export function number(value: number): string {
  return Number(value.toPrecision(4)).toLocaleString("en-GB", { maximumFractionDigits: 6 });
}
