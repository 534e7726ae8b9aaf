import type { Draft } from "./lower.ts";
import type { PartVariables } from "./lower-parts.ts";
import type { Condition, Expression, Origin, SelectionModel } from "./selection.ts";

interface Guarded {
  readonly name: string;
  readonly origin: Origin;
  readonly expression: Expression;
  readonly max: number;
  readonly when: Condition;
  /** A variable subtracted from the expression: the envelope's term. */
  readonly term?: number;
}

/** Adds the shared rows; a conditional one is switched off by the smallest valid constant per condition. */
export function lowerRows(model: SelectionModel, draft: Draft, parts: readonly PartVariables[]): void {
  for (const [index, { origin, expression, max, when }] of model.rows.entries()) {
    addGuarded(model, draft, parts, { name: `row${index}`, origin, expression, max, when });
  }
}

/** Adds one variable per envelope, at least zero and at least every row of it. */
export function lowerEnvelopes(model: SelectionModel, draft: Draft, parts: readonly PartVariables[]): void {
  for (const [e, { origin, cost, rows }] of model.envelopes.entries()) {
    const term = draft.variables.length;
    draft.variables.push({ name: `t${e}`, origin, cost, lower: 0, upper: Infinity, isInteger: false });
    for (const [i, { expression, when }] of rows.entries()) {
      addGuarded(model, draft, parts, { name: `env${e}_${i}`, origin, expression, max: 0, when, term });
    }
  }
}

/** expression - term ≤ max + Σ_c M_c · (1 - Σ x of condition c), M_c = largest excess while condition c fails. */
function addGuarded(model: SelectionModel, draft: Draft, parts: readonly PartVariables[], row: Guarded): void {
  const factors = new Map<number, number>();
  const add = (variable: number, factor: number): void => {
    if (factor !== 0) factors.set(variable, (factors.get(variable) ?? 0) + factor);
  };
  for (const [g, list] of row.expression.factors) list.forEach((factor, k) => add(draft.offsets[g]! + k, factor));
  for (const { part, pool, factor } of row.expression.modules) {
    const form = parts[part]!.modules[pool]!;
    form.variables.forEach((variable, at) => add(variable, factor * form.factors[at]!));
  }
  for (const { part, factor } of row.expression.used ?? []) {
    const { use } = parts[part]!;
    if (use !== undefined) add(use, factor);
  }
  if (row.term !== undefined) add(row.term, -1);
  let upper = row.max - row.expression.constant;
  for (const condition of row.when) {
    const slack = Math.max(0, largestWithout(model, row.expression, condition) - row.max);
    upper += slack;
    for (const k of condition.columns) add(draft.offsets[condition.group]! + k, slack);
  }
  const { name, origin } = row;
  draft.rows.push({
    name,
    origin,
    variables: [...factors.keys()],
    factors: [...factors.values()],
    lower: -Infinity,
    upper,
  });
}

/** Largest value of the expression while the condition's group picks outside its set; -∞ when it cannot. */
function largestWithout(model: SelectionModel, expression: Expression, condition: Condition[number]): number {
  let sum = expression.constant;
  for (const [g, { columns }] of model.groups.entries()) {
    const factors = expression.factors.get(g);
    let largest = -Infinity;
    for (let k = 0; k < columns.length; k += 1) {
      if (g === condition.group && condition.columns.has(k)) continue;
      largest = Math.max(largest, factors?.[k] ?? 0);
    }
    sum += largest;
  }
  return sum + largestTerms(model, expression);
}

/** Most that modules and parts used add. */
function largestTerms(model: SelectionModel, { modules, used = [] }: Expression): number {
  let sum = 0;
  for (const { part, pool, factor } of modules) if (factor > 0) sum += factor * mostModules(model, part, pool);
  for (const { factor } of used) sum += Math.max(0, factor);
  return sum;
}

function mostModules(model: SelectionModel, part: number, pool: number): number {
  const uses = model.groups.reduce((sum, { pools, columns }) => {
    const entries = pools.filter((one) => one === pool).length;
    return entries > 0 && columns.some(({ parts }) => parts.includes(part)) ? sum + entries : sum;
  }, 0);
  return Math.ceil(uses / model.parts[part]!.channels);
}
