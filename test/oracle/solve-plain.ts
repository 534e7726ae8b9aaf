import library, { type Highs } from "highs";
import { PlainModel } from "./plain-model.ts";
import type { PlainChoice, PlainInput, PlainJudgement } from "./plain-problem.ts";
import { separated } from "./plain-time-rows.ts";

export interface PlainAnswer {
  readonly cost: number;
  readonly choice: PlainChoice;
  readonly rounds: number;
  /** Every answer of that cost, where all of them were asked for; else those met on the way. */
  readonly ties: readonly PlainChoice[];
}

type Loader = typeof library.default;

function isLoader(value: unknown): value is Loader {
  return typeof value === "function";
}

let instance: Promise<Highs> | undefined;

function loadHighs(): Promise<Highs> {
  const found: unknown = library;
  if (!isLoader(found)) throw new Error("highs does not export its loader");
  instance ??= found();
  return instance;
}

function solved(highs: Highs, model: PlainModel): number[] | null {
  const starts = [0];
  const indices: number[] = [];
  const values: number[] = [];
  for (const { terms } of model.rows) {
    for (const [variable, factor] of terms) {
      if (factor === 0) continue;
      indices.push(variable);
      values.push(factor);
    }
    starts.push(indices.length);
  }
  const finite = (value: number): number => (Number.isFinite(value) ? value : Math.sign(value) * highs.infinity);
  const { integer, continuous } = highs.constants.variableType;
  const data = {
    numCols: model.costs.length,
    numRows: model.rows.length,
    colCost: model.costs,
    colLower: model.lowers.map(finite),
    colUpper: model.uppers.map(finite),
    rowLower: model.rows.map(({ lower }) => finite(lower)),
    rowUpper: model.rows.map(({ upper }) => finite(upper)),
    integrality: model.integer.map((isInteger) => (isInteger ? integer : continuous)),
    matrix: {
      format: "csr" as const,
      numRows: model.rows.length,
      numCols: model.costs.length,
      starts,
      indices,
      values,
    },
  };
  // Presolve has called feasible models infeasible before: the claim must hold without it.
  for (const presolve of ["on", "off"] as const) {
    const found = highs.withModel(data, (loaded) => {
      loaded.options.set({
        output_flag: false,
        presolve,
        mip_rel_gap: 0,
        mip_abs_gap: 1e-6,
        mip_feasibility_tolerance: 1e-9,
      });
      loaded.run();
      const optimal = loaded.getModelStatus() === highs.constants.modelStatus.optimal;
      return optimal ? Array.from(loaded.getSolution().colValue) : null;
    });
    if (found !== null) return found;
  }
  return null;
}

/** The plain model is not closed after as many solves as it was given. */
export class Unclosed extends Error {}

/** How far to look. */
export interface PlainSearch {
  /** Solves at the most. */
  readonly mostRounds?: number;
  /** true: look on until every answer of the lowest cost is known. */
  readonly all?: boolean;
}

/**
 * Lowest cost of the plain model under the exact judge; null: no answer stands.
 *
 * @throws Unclosed after `mostRounds` solves
 */
export async function solvePlain(
  data: PlainInput,
  judge: (choice: PlainChoice) => PlainJudgement,
  { mostRounds = 2000, all = false }: PlainSearch = {},
): Promise<PlainAnswer | null> {
  const highs = await loadHighs();
  if (data.axes.some(({ columns }) => columns.length === 0) || data.pools.some(({ options }) => options.length === 0))
    return null;
  const model = new PlainModel(data);
  let found: { readonly cost: number; readonly choice: PlainChoice }[] = [];
  for (let rounds = 1; rounds <= mostRounds; rounds++) {
    const values = solved(highs, model);
    const bound = values?.reduce((sum, value, v) => sum + value * (model.costs[v] ?? 0), 0) ?? Infinity;
    const [best] = found;
    // Costs are whole cents: half a cent more is a cent more.
    const wanted = (best?.cost ?? Infinity) + (all ? 0.5 : -0.5);
    if (values === null || bound >= wanted + data.rounding)
      return best === undefined ? null : { ...best, rounds, ties: found.map(({ choice }) => choice) };
    const chosen = (list: readonly number[]): number => list.findIndex((v) => (values[v] ?? 0) > 0.5);
    const choice = { columns: model.x.map(chosen), options: model.z.map(chosen) };
    if (separated(data, model, choice, values)) continue;
    const judged = judge(choice);
    const axes = judged.cost === null ? judged.axes : data.axes.map((_, a) => a);
    const pools = judged.cost === null ? judged.pools : data.pools.map((_, b) => b);
    if (judged.cost !== null && judged.cost < (best?.cost ?? Infinity)) found = [];
    if (judged.cost !== null && judged.cost <= (best?.cost ?? Infinity)) found.push({ cost: judged.cost, choice });
    const taken = [
      ...axes.map((a) => model.x[a]?.[choice.columns[a] ?? -1] ?? -1),
      ...pools.map((b) => model.z[b]?.[choice.options[b] ?? -1] ?? -1),
    ];
    model.row(
      -Infinity,
      taken.length - 1,
      taken.map((v) => [v, 1]),
    );
  }
  throw new Unclosed(`the plain model is not closed after ${mostRounds} rounds`);
}
