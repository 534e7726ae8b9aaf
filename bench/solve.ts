import { type DecideOptions, decide } from "../src/decide/decide.ts";
import type { JudgedAxes } from "../src/decide/field.ts";
import { judgedAxes } from "../src/decide/narrow.ts";
import type { Setup } from "../src/decide/setup.ts";
import type { LinearModel } from "../src/model/linear.ts";
import { lower } from "../src/model/lower.ts";
import type { SelectionModel } from "../src/model/selection.ts";
import type { EngineAnswer } from "../src/solve/engine.ts";
import { highsEngine } from "../src/solve/engines/highs.ts";
import { solveModel } from "../src/solve/solve-model.ts";
import { plainModel } from "./plain-model.ts";
import { line, number, readSetup, timed } from "./read-setup.ts";

/** Solves until most of what is run often is compiled; not counted. */
const WARM_UP = 8;

/** `bench/solve.ts <problem> <seconds> <candidates an axis for the plain model> <runs when warm>` */
const [path = "problems/tray-transplanter.json", limit = "60", thinned = "300", warm = "15"] = process.argv.slice(2);
const setup = await readSetup(path);
const judging = await timed(() => judgedAxes(setup));
console.log(`Solving: ${path}, time limit ${limit} s, one run of each in one process`);
line("judging", `${number(judging.seconds)} s`);
await solveThinned(plainModel(setup, judging.value, Number(thinned)), Number(thinned), Number(limit));
await solveWhole(setup, judging.value, Number(limit));
await solveWarm(setup, Number(warm), Number(limit));
line(
  "memory, most of the process",
  `${number(process.resourceUsage().maxRSS / 1024)} MiB`,
  "loader and WebAssembly included",
);

async function solveWhole(whole: Setup, judged: JudgedAxes, seconds: number): Promise<void> {
  const { value, seconds: took } = await timed(() => decide(whole, deciding(seconds), judged));
  const { status, bound, evaluated } = value;
  const total = evaluated?.money.total;
  line("whole catalogues, own solver", `${number(took)} s`, `${status}, cost ${euros(total)}, bound ${euros(bound)}`);
  if (total !== undefined && status !== "optimal") line("  gap", `${number((100 * (total - bound)) / total)} %`);
}

/** Judging and deciding again, as a process does that has solved before: by the middle of some runs. */
async function solveWarm(whole: Setup, runs: number, seconds: number): Promise<void> {
  const took: number[] = [];
  for (let run = 0; run < WARM_UP + runs; run++)
    took.push((await timed(async () => decide(whole, deciding(seconds), judgedAxes(whole)))).seconds);
  took.splice(0, WARM_UP);
  const [least, middle] = [Math.min(...took), took.toSorted((a, b) => a - b)[runs >> 1]];
  if (middle === undefined) return;
  line(
    "judged and solved again, warm",
    `${number(middle)} s`,
    `middle of ${runs} runs after ${WARM_UP}, the least ${number(least)} s`,
  );
}

async function solveThinned(model: SelectionModel, count: number, seconds: number): Promise<void> {
  const linear = lower(model);
  const columns = model.groups.reduce((sum, group) => sum + group.columns.length, 0);
  const size = `columns; ${number(linear.variables.length)} variables, ${number(linear.rows.length)} rows`;
  line(`thinned to the ${count} cheapest an axis`, number(columns), size);
  const { secondsLeft } = deciding(seconds);
  const own = await timed(() => solveModel(model, { engine: "simplex", secondsLeft, ties: false }));
  line("  own solver", `${number(own.seconds)} s`, `${own.value.status}, cost ${euros(own.value.cost)}`);
  const plain = await timed(() => highsEngine().solve(linear, seconds));
  const cost = costOf(linear, plain.value);
  line(
    "  HiGHS on the plain model, loading included",
    `${number(plain.seconds)} s`,
    `${plain.value.status}, cost ${euros(cost)}`,
  );
  line("  HiGHS over own solver", number(plain.seconds / own.seconds), "times as long, in this run");
  if (own.value.cost === undefined || cost === undefined) return;
  line("  costs apart by", euros(Math.abs(own.value.cost - cost)), "0.00: both found the same optimum");
}

function deciding(forSeconds: number): DecideOptions {
  const end = performance.now() + forSeconds * 1000;
  return {
    engine: "simplex",
    secondsLeft: () => (end - performance.now()) / 1000,
    aborted: () => false,
    progress: () => undefined,
    ties: true,
  };
}

function costOf({ variables }: LinearModel, { values }: EngineAnswer): number | undefined {
  return values?.reduce((sum, value, k) => sum + value * (variables[k]?.cost ?? 0), 0);
}

function euros(cents: number | undefined): string {
  if (cents === undefined) return "none";
  return (cents / 100).toLocaleString("en-GB", { minimumFractionDigits: 2, maximumFractionDigits: 2 });
}
