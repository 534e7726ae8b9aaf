import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { decide } from "../../src/decide/decide.ts";
import type { JudgedAxes } from "../../src/decide/field.ts";
import { judgedAxes } from "../../src/decide/narrow.ts";
import type { Setup } from "../../src/decide/setup.ts";
import { lower } from "../../src/model/lower.ts";
import type { SelectionModel } from "../../src/model/selection.ts";
import { highsEngine } from "../../src/solve/engines/highs.ts";
import { linearCost } from "../../src/solve/engines/repair.ts";
import { simplexEngine } from "../../src/solve/engines/simplex.ts";
import { solveModel } from "../../src/solve/solve-model.ts";
import { plainModel } from "../plain-model.ts";
import { readSetup } from "../read-setup.ts";
import type { Wish } from "../synthetic/wish.ts";
import { writeSynthetic } from "../synthetic/write-files.ts";
import { modelOf } from "./model-rows.ts";
import { sayCount, step } from "./say.ts";
import type { Found, ModelWork, OrderWork, Solver } from "./task.ts";

/** What a solver claims, before anybody asks for memory. */
export type Claim = Omit<Found, "mebibytes">;

/** Until when to look [s left], and what solves. */
export interface How {
  readonly solver: Solver;
  readonly secondsLeft: () => number;
}

/** Solves a selection model. */
export async function solveModelWork({ size, variant }: ModelWork, how: How): Promise<Claim> {
  const model = modelOf(size, variant);
  sayCount("columns", columnCount(model));
  if (how.solver !== "own") return plainAnswer(model, how.solver, how);
  const { secondsLeft } = how;
  const solved = await step("solve", () => solveModel(model, { engine: "simplex", secondsLeft, ties: false }));
  return claimOf(solved.status, solved.cost, solved.bound);
}

/** Reads and judges an order and solves it, whole by the own solver, as a plain model by an engine. */
export async function solveOrderWork({ wish }: OrderWork, how: How): Promise<Claim> {
  const setup = await readOrder(wish);
  const judged = await step("judge", () => judgedAxes(setup));
  sayTallies(judged);
  if (how.solver !== "own") {
    const model = await step("build", () => plainModel(setup, judged, Number.POSITIVE_INFINITY));
    sayCount("columns", columnCount(model));
    return plainAnswer(model, how.solver, how);
  }
  const { secondsLeft } = how;
  const options = { secondsLeft, aborted: () => false, progress: () => undefined, ties: true } as const;
  const decided = await step("decide", () => decide(setup, { engine: "simplex", ...options }, judged));
  return claimOf(decided.status, decided.evaluated?.money.total, decided.bound);
}

/** By the door that users come in: files, of which nothing stays. */
async function readOrder(wish: Wish): Promise<Setup> {
  const folder = mkdtempSync(join(tmpdir(), "fewframe-bench-"));
  try {
    const path = writeSynthetic(folder, wish);
    return await step("read", () => readSetup(path));
  } finally {
    rmSync(folder, { recursive: true });
  }
}

function sayTallies(judged: JudgedAxes): void {
  const tallies = judged.flat().map(({ tally }) => tally);
  sayCount(
    "judged",
    tallies.reduce((sum, tally) => sum + tally.judged, 0),
  );
  sayCount(
    "passed",
    tallies.reduce((sum, { passed }) => sum + passed, 0),
  );
}

/** The engine on the model as it stands: all columns, strong links, nothing reduced. */
async function plainAnswer(model: SelectionModel, name: "highs" | "simplex", { secondsLeft }: How): Promise<Claim> {
  const linear = await step("lower", () => lower(model));
  sayCount("variables", linear.variables.length);
  sayCount("rows", linear.rows.length);
  // Without the guard that makes it give up early: it may use all its time.
  const engine =
    name === "highs" ? highsEngine() : simplexEngine(() => performance.now() / 1000, Number.POSITIVE_INFINITY);
  const { status, values } = await step("solve", () => engine.solve(linear, secondsLeft()));
  return claimOf(status, values === undefined ? undefined : linearCost(linear, values), undefined);
}

function columnCount({ groups }: SelectionModel): number {
  return groups.reduce((sum, { columns }) => sum + columns.length, 0);
}

function claimOf(status: string, cost: number | undefined, bound: number | undefined): Claim {
  const isBound = bound !== undefined && Number.isFinite(bound);
  return { status, ...(cost === undefined ? {} : { cost }), ...(isBound ? { bound } : {}) };
}
