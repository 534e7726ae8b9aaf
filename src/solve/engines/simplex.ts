import library, { type Model } from "javascript-lp-solver";
import { InternalFault } from "../../faults/fault.ts";
import type { LinearModel, LinearRow } from "../../model/linear.ts";
import type { Engine, EngineAnswer } from "../engine.ts";
import { repaired } from "./repair.ts";

/** Pivots after which a solve counts as lost: the same on every machine, unlike seconds. */
const MOST_PIVOTS = 30_000;

/** The embedded engine, javascript-lp-solver: good for small cores. */
export function simplexEngine(now: () => number, mostPivots: number = MOST_PIVOTS): Engine {
  return {
    name: "simplex",
    solve: async (model, seconds) => solveGuarded(model, now() + seconds, { now, mostPivots }),
  };
}

type Solver = typeof library.default;

/** The package types its default export one level too deep for ES modules: what is really there is checked instead. */
function solverOf(loaded: unknown): Solver {
  if (isSolver(loaded)) return loaded;
  throw new InternalFault("javascript-lp-solver does not export its solver");
}

function isSolver(value: unknown): value is Solver {
  return typeof value === "object" && value !== null && "Solve" in value && "Tableau" in value;
}

interface Guard {
  readonly now: () => number;
  readonly mostPivots: number;
}

/** Thrown out of a pivot when the deadline has passed; never leaves this file. */
class DeadlinePassed extends Error {
  override readonly name = "DeadlinePassed";
}

/**
 * The library looks at its time limit between nodes only, and its simplex can pivot for ever on a degenerate vertex:
 * so every pivot of this one solve is counted, and the deadline throws.
 */
function solveGuarded(model: LinearModel, deadline: number, { now, mostPivots }: Guard): EngineAnswer {
  const solver = solverOf(library);
  const { prototype } = solver.Tableau;
  const saved = Object.getOwnPropertyDescriptor(prototype, "pivot");
  if (saved === undefined) throw new InternalFault("javascript-lp-solver has no pivot to guard");
  let pivots = 0;
  prototype.pivot = function guardedPivot(row: number, column: number): void {
    pivots += 1;
    if (pivots > mostPivots || (pivots % 32 === 0 && now() > deadline)) throw new DeadlinePassed();
    Reflect.apply(saved.value, this, [row, column]);
  };
  try {
    return readAnswer(model, solver.Solve(engineModel(model), 1e-9, true));
  } catch (thrown) {
    // A fault inside the engine is an engine without an answer, whatever it threw.
    if (thrown instanceof Error) return { status: "stopped" };
    throw thrown;
  } finally {
    Object.defineProperty(prototype, "pivot", saved);
  }
}

/** Shifts variables to start at zero and scales rows and costs to about one. */
function engineModel(model: LinearModel): Model {
  const constraints: Model["constraints"] = {};
  const variables: Record<string, Record<string, number>> = {};
  const ints: Record<string, 1> = {};
  const unrestricted: Record<string, 1> = {};
  const costScale = largest(model.variables.map(({ cost }) => cost));
  const isBounded = impliedBounds(model);
  for (const [at, variable] of model.variables.entries()) {
    const coefficients: Record<string, number> = { money: variable.cost / costScale };
    variables[`v${at}`] = coefficients;
    if (variable.isInteger) ints[`v${at}`] = 1;
    if (variable.lower === -Infinity) unrestricted[`v${at}`] = 1;
    if (variable.upper === Infinity || isBounded[at] === true) continue;
    constraints[`u${at}`] = { max: variable.upper - shiftOf(variable.lower) };
    coefficients[`u${at}`] = 1;
  }
  for (const [at, row] of model.rows.entries()) addConstraint({ constraints, variables }, model, row, at);
  return { optimize: "money", opType: "min", constraints, variables, ints, unrestricted, options: { presolve: false } };
}

function shiftOf(lower: number): number {
  return lower === -Infinity ? 0 : lower;
}

function addConstraint(
  { constraints, variables }: { constraints: Model["constraints"]; variables: Record<string, Record<string, number>> },
  model: LinearModel,
  row: LinearRow,
  at: number,
): void {
  const scale = largest(row.factors);
  let shift = 0;
  for (const [term, variable] of row.variables.entries()) {
    const factor = row.factors[term]!;
    shift += factor * shiftOf(model.variables[variable]!.lower);
    const coefficients = variables[`v${variable}`]!;
    coefficients[`r${at}`] = (coefficients[`r${at}`] ?? 0) + factor / scale;
  }
  const [low, high] = [(row.lower - shift) / scale, (row.upper - shift) / scale];
  if (row.lower === row.upper) constraints[`r${at}`] = { equal: high };
  else if (low === -Infinity && high === Infinity)
    for (const variable of row.variables) delete variables[`v${variable}`]![`r${at}`];
  else constraints[`r${at}`] = { ...(low > -Infinity ? { min: low } : {}), ...(high < Infinity ? { max: high } : {}) };
}

function largest(values: readonly number[]): number {
  const most = values.reduce((sum, value) => Math.max(sum, Math.abs(value)), 0);
  return most > 0 ? most : 1;
}

/** Which upper bounds follow from a row of nonnegative terms: they need no row of their own. */
function impliedBounds({ variables, rows }: LinearModel): boolean[] {
  const isImplied = variables.map(() => false);
  for (const row of rows) {
    const isSimple = row.variables.every((variable, at) => row.factors[at]! > 0 && variables[variable]!.lower === 0);
    if (!isSimple || row.upper === Infinity) continue;
    for (const [at, variable] of row.variables.entries()) {
      if (row.upper / row.factors[at]! <= variables[variable]!.upper) isImplied[variable] = true;
    }
  }
  return isImplied;
}

/** What the engine returned, taken apart with suspicion: its type promises nothing. */
function readAnswer(model: LinearModel, solution: unknown): EngineAnswer {
  if (!isSolution(solution) || !solution.bounded) return { status: "stopped" };
  if (!solution.feasible) return { status: "infeasible" };
  const raw = model.variables.map(({ lower }, at) => (solution.solutionSet[`v${at}`] ?? 0) + shiftOf(lower));
  const values = repaired(model, raw);
  return values === undefined ? { status: "stopped" } : { status: "optimal", values };
}

interface Solution {
  readonly feasible: boolean;
  readonly bounded: boolean;
  readonly solutionSet: Readonly<Record<string, number>>;
}

function isSolution(value: unknown): value is Solution {
  return (
    typeof value === "object" && value !== null && "feasible" in value && "bounded" in value && "solutionSet" in value
  );
}
