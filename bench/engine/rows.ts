import { line, number } from "../read-setup.ts";
import type { Wish } from "../synthetic/wish.ts";
import { type Measurement, measure } from "./measure.ts";
import { MODEL_SIZES } from "./model-rows.ts";
import { SOLVER_NAMES, type Solver } from "./task.ts";
import { answerText, countsText, secondsText, stepsText, sumOf } from "./words.ts";

/** How to measure: who solves, how long at most [s], with how much heap [MiB]. */
export interface Terms {
  readonly solvers: readonly Solver[];
  readonly seconds: number;
  readonly heap: number;
}

/** Measures a selection model of one size and variant with every solver and prints a line for each. */
export async function modelRow(size: string, variant: string, terms: Terms): Promise<void> {
  const asked = MODEL_SIZES[size];
  for (const [at, solver] of terms.solvers.entries()) {
    const { seconds, heap } = terms;
    const measured = await measure({ solver, seconds, work: { kind: "model", size, variant } }, heap);
    const columns = number(measured.counts.get("columns") ?? 0);
    if (at === 0) line(`${size} ${variant}`, columns, `columns, ${asked?.size.axes} axes; goal ${asked?.goal} s`);
    line(`  ${SOLVER_NAMES[solver]}`, secondsText(measured, seconds), answerText(measured));
  }
}

/** Measures an order with every solver and prints it; returns judged combinations and the own solver's processor seconds. */
export async function orderRow(wish: Wish, terms: Terms): Promise<readonly [number, number] | undefined> {
  const { solvers, seconds, heap } = terms;
  const measured = new Map<Solver, Measurement>();
  for (const solver of solvers) {
    const one = await measure({ solver, seconds, work: { kind: "order", wish } }, heap);
    if (measured.size === 0) printHead(wish, one);
    measured.set(solver, one);
    line(`  ${SOLVER_NAMES[solver]}`, secondsText(one, seconds), answerText(one));
    line("", "", stepsText(one));
    if (solver !== "own") line("", "", countsText(one, ["columns", "variables", "rows"]));
  }
  printRace(measured);
  return pointOf(measured.get("own"));
}

function printHead({ axes, parts }: Wish, one: Measurement): void {
  line(
    `${axes} axes, ${number(parts)} parts`,
    number(one.counts.get("judged") ?? 0),
    `judged; ${countsText(one, ["passed"])}`,
  );
}

/** Reading left out: it is the same for both, and its noise would hide the difference. */
function printRace(measured: ReadonlyMap<Solver, Measurement>): void {
  const [own, highs] = [measured.get("own"), measured.get("highs")];
  if (own?.found?.status !== "optimal" || highs?.found?.status !== "optimal") return;
  const slower = sumOf(own.steps, ["read"]).processor - sumOf(highs.steps, ["read"]).processor;
  line("  own solver slower than HiGHS by", `${slower.toFixed(2)} s`, "cpu, without reading; goal: at most 0.2 s");
}

function pointOf(own: Measurement | undefined): readonly [number, number] | undefined {
  const judged = own?.counts.get("judged");
  if (own?.found?.status !== "optimal" || judged === undefined) return undefined;
  return [judged, sumOf(own.steps, ["read"]).processor];
}
