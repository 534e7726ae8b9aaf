import { writeSync } from "node:fs";
import { lower } from "../../src/model/lower.ts";
import type { SelectionModel } from "../../src/model/selection.ts";
import { highsEngine } from "../../src/solve/engines/highs.ts";
import { linearCost } from "../../src/solve/engines/repair.ts";
import { simplexEngine } from "../../src/solve/engines/simplex.ts";
import { solveModel } from "../../src/solve/solve-model.ts";
import { modelOf } from "./model-rows.ts";
import type { Found, Message, Seconds, Task } from "./task.ts";

/** One task in a process of its own: `tsx bench/engine/child.ts <task as JSON>`; says on standard output what it does. */
const task: Task = JSON.parse(process.argv[2] ?? "");
const end = performance.now() + task.seconds * 1000;
const secondsLeft = (): number => (end - performance.now()) / 1000;

const found = await solveWork(modelOf(task.work.size, task.work.variant));
say({ kind: "found", found: { ...found, mebibytes: process.resourceUsage().maxRSS / 1024 } });

type Claim = Omit<Found, "mebibytes">;

async function solveWork(model: SelectionModel): Promise<Claim> {
  say({ kind: "count", name: "columns", count: model.groups.reduce((sum, { columns }) => sum + columns.length, 0) });
  return task.solver === "own" ? ownAnswer(model) : plainAnswer(model, task.solver);
}

async function ownAnswer(model: SelectionModel): Promise<Claim> {
  const { status, cost, bound } = await step("solve", () =>
    solveModel(model, { engine: "simplex", secondsLeft, ties: false }),
  );
  return { status, bound, ...(cost === undefined ? {} : { cost }) };
}

/** The engine on the model as it stands: all columns, strong links, nothing reduced. */
async function plainAnswer(model: SelectionModel, name: "highs" | "simplex"): Promise<Claim> {
  const linear = await step("lower", () => lower(model));
  say({ kind: "count", name: "variables", count: linear.variables.length });
  say({ kind: "count", name: "rows", count: linear.rows.length });
  // Without the guard that makes it give up early: it may use all its time.
  const engine = name === "highs" ? highsEngine() : simplexEngine(() => performance.now() / 1000, Infinity);
  const { status, values } = await step("solve", () => engine.solve(linear, secondsLeft()));
  return { status, ...(values === undefined ? {} : { cost: linearCost(linear, values) }) };
}

async function step<T>(name: string, work: () => T | Promise<T>): Promise<T> {
  say({ kind: "begin", step: name });
  const begin = secondsNow();
  const value = await work();
  const now = secondsNow();
  const seconds = { clock: now.clock - begin.clock, processor: now.processor - begin.processor };
  say({ kind: "end", step: name, seconds });
  return value;
}

function secondsNow(): Seconds {
  const { user, system } = process.cpuUsage();
  return { clock: performance.now() / 1000, processor: (user + system) / 1e6 };
}

/** At once, even when nothing else gets its turn before the process ends. */
function say(message: Message): void {
  writeSync(1, `${JSON.stringify(message)}\n`);
}
