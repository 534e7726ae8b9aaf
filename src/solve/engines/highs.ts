import library, { type Highs, type ModelData } from "highs";
import { InternalFault } from "../../faults/fault.ts";
import type { LinearModel } from "../../model/linear.ts";
import type { Engine, EngineAnswer } from "../engine.ts";
import { repaired } from "./repair.ts";

/**
 * HiGHS as WebAssembly, through its sparse interface. The instance is loaded at the first solve and kept.
 *
 * @param load - loads an instance; default the package's own loader
 */
export function highsEngine(load: () => Promise<Highs> = () => loaderOf(library)()): Engine {
  let loaded: Promise<Highs> | undefined;
  const attempt = async (model: LinearModel, seconds: number, presolve: "on" | "off"): Promise<Attempt> => {
    loaded ??= load();
    try {
      return runOnce(await loaded, model, seconds, presolve);
    } catch (thrown) {
      // A fault in WebAssembly spoils the instance: the next solve starts with a fresh one.
      loaded = undefined;
      if (thrown instanceof Error) return { answer: { status: "stopped" }, isLate: false };
      throw thrown;
    }
  };
  return {
    name: "highs",
    solve: async (model, seconds) => {
      const { answer, isLate } = await attempt(model, seconds, "on");
      if (answer.status === "optimal" || isLate) return answer;
      // Presolve has called feasible models infeasible before: the claim must hold without it.
      return (await attempt(model, seconds, "off")).answer;
    },
  };
}

/** What one run brought, and whether the clock ended it. */
interface Attempt {
  readonly answer: EngineAnswer;
  readonly isLate: boolean;
}

type Loader = typeof library.default;

/** The package types its default export one level too deep for ES modules: what is really there is checked instead. */
function loaderOf(found: unknown): Loader {
  if (isLoader(found)) return found;
  throw new InternalFault("highs does not export its loader");
}

function isLoader(value: unknown): value is Loader {
  return typeof value === "function";
}

function runOnce(highs: Highs, model: LinearModel, seconds: number, presolve: "on" | "off"): Attempt {
  return highs.withModel(modelData(highs, model), (loaded): Attempt => {
    loaded.options.set({
      output_flag: false,
      presolve,
      mip_rel_gap: 0,
      mip_abs_gap: 1e-6,
      time_limit: Math.max(0.01, seconds),
    });
    loaded.run();
    const { modelStatus } = highs.constants;
    const status = loaded.getModelStatus();
    const isLate = status === modelStatus.timeLimit;
    if (status === modelStatus.infeasible) return { answer: { status: "infeasible" }, isLate };
    if (status !== modelStatus.optimal) return { answer: { status: "stopped" }, isLate };
    const values = repaired(model, Array.from(loaded.getSolution().colValue));
    return { answer: values === undefined ? { status: "stopped" } : { status: "optimal", values }, isLate };
  });
}

function modelData(highs: Highs, { variables, rows }: LinearModel): ModelData {
  const starts = [0];
  for (const row of rows) starts.push(starts.at(-1)! + row.variables.length);
  const { integer, continuous } = highs.constants.variableType;
  return {
    numCols: variables.length,
    numRows: rows.length,
    colCost: variables.map(({ cost }) => cost),
    colLower: variables.map(({ lower }) => lower),
    colUpper: variables.map(({ upper }) => upper),
    rowLower: rows.map(({ lower }) => lower),
    rowUpper: rows.map(({ upper }) => upper),
    integrality: variables.map(({ isInteger }) => (isInteger ? integer : continuous)),
    matrix: {
      format: "csr",
      numRows: rows.length,
      numCols: variables.length,
      starts,
      indices: rows.flatMap((row) => row.variables),
      values: rows.flatMap(({ factors }) => factors),
    },
  };
}
