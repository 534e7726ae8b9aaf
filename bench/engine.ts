import { parseArgs } from "node:util";
import { measure } from "./engine/measure.ts";
import { MODEL_SIZES, MODEL_VARIANTS } from "./engine/model-rows.ts";
import { SOLVER_NAMES, SOLVERS, type Solver } from "./engine/task.ts";
import { answerText, secondsText } from "./engine/words.ts";
import { line, number } from "./read-setup.ts";

/**
 * `tsx bench/engine.ts [--sizes S3,S4,S5] [--variants plain,…] [--solvers own,highs,simplex] [--seconds 60]
 * [--heap 2048]`: own solver against engines on the plain model, each measurement in a process of its own.
 */
const { values } = parseArgs({
  options: {
    sizes: { type: "string", default: Object.keys(MODEL_SIZES).join(",") },
    variants: { type: "string", default: Object.keys(MODEL_VARIANTS).join(",") },
    solvers: { type: "string", default: SOLVERS.join(",") },
    seconds: { type: "string", default: "60" },
    heap: { type: "string", default: "2048" },
  },
});
const seconds = Number(values.seconds);
const heap = Number(values.heap);
const solvers = SOLVERS.filter((name) => values.solvers.split(",").includes(name));

console.log(`Selection models, invented; limit ${seconds} s, ${heap} MiB of heap, one process each, one run`);
for (const size of Object.keys(MODEL_SIZES).filter((name) => values.sizes.split(",").includes(name)))
  for (const variant of Object.keys(MODEL_VARIANTS).filter((name) => values.variants.split(",").includes(name)))
    await modelRow(size, variant);

async function modelRow(size: string, variant: string): Promise<void> {
  const asked = MODEL_SIZES[size];
  for (const [at, solver] of solvers.entries()) {
    const measured = await measure({ solver, seconds, work: { kind: "model", size, variant } }, heap);
    if (at === 0)
      line(`${size} ${variant}`, number(measured.counts.get("columns") ?? 0), `columns, ${asked?.size.axes} axes`);
    line(
      `  ${SOLVER_NAMES[solver]}`,
      secondsText(measured, seconds),
      answerText(measured) + goalText(solver, asked?.goal),
    );
  }
}

function goalText(solver: Solver, goal: number | undefined): string {
  return solver === "own" && goal !== undefined ? `; goal ${goal} s` : "";
}
