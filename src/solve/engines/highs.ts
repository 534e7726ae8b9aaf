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
  const attempt = async (model: LinearModel, seconds: number, presolve: "on" | "off"): Promise<EngineAnswer> => {
    loaded ??= load();
    try {
      return runOnce(await loaded, model, seconds, presolve);
    } catch (thrown) {
      // A fault in WebAssembly spoils the instance: the next solve starts with a fresh one.
      loaded = undefined;
      if (thrown instanceof Error) return { status: "stopped" };
      throw thrown;
    }
  };
  return {
    name: "highs",
    solve: async (model, seconds) => {
      const first = await attempt(model, seconds, "on");
      if (first.status === "optimal") return first;
      // Presolve has called feasible models infeasible before: the claim must hold without it.
      return attempt(model, seconds, "off");
    },
  };
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

function runOnce(highs: Highs, model: LinearModel, seconds: number, presolve: "on" | "off"): EngineAnswer {
  return highs.withModel(modelData(highs, model), (loaded): EngineAnswer => {
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
    if (status === modelStatus.infeasible) return { status: "infeasible" };
    if (status !== modelStatus.optimal) return { status: "stopped" };
    const values = repaired(model, Array.from(loaded.getSolution().colValue));
    return values === undefined ? { status: "stopped" } : { status: "optimal", values };
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
