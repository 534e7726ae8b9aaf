import type { Draft } from "./lower.ts";
import type { ModelPart, SelectionModel } from "./selection.ts";

/** Variables that stand for one part. */
export interface PartVariables {
  /** Index of the 0/1 use variable; absent where nothing needs it. */
  readonly use?: number;
  /** By pool: the module count as a linear form. */
  readonly modules: readonly Form[];
}

/** Σ factor · variable, as two parallel lists. */
export interface Form {
  readonly variables: readonly number[];
  readonly factors: readonly number[];
}

interface PartLinks {
  /** By group: variables of the columns that use the part. */
  readonly byGroup: ReadonlyMap<number, readonly number[]>;
  /** By pool: uses as a linear form. */
  readonly uses: readonly Form[];
}

/** Adds the variables and rows of part use, modules and price steps; returns them by part index. */
export function lowerParts(
  model: SelectionModel,
  draft: Draft,
  isCounted: (part: number) => boolean,
): readonly PartVariables[] {
  const capped = new Set(model.caps.flatMap(({ members }) => members));
  const links = linksOf(model, draft);
  return model.parts.map((part, index) => {
    const modules = part.channels === 1 ? links[index]!.uses : moduleForms(draft, part, index, links[index]!);
    const needsUse = part.fixed > 0 || part.steps.length > 1 || capped.has(index) || isCounted(index);
    const use = needsUse ? addUse(draft, part, index, links[index]!) : undefined;
    const units = unitForm(model, modules);
    if (part.steps.length === 1) chargeForm(draft, units, part.steps[0]!.price);
    if (part.steps.length > 1 && use !== undefined) addSteps(draft, part, { index, use, units });
    return use === undefined ? { modules } : { use, modules };
  });
}

function linksOf(model: SelectionModel, draft: Draft): PartLinks[] {
  const byGroup = model.parts.map(() => new Map<number, number[]>());
  const uses = model.parts.map(() => model.pools.map(() => ({ variables: [] as number[], factors: [] as number[] })));
  for (const [g, { columns, pools }] of model.groups.entries()) {
    const entries = countEntries(pools);
    for (const [k, { parts }] of columns.entries()) {
      for (const part of parts) {
        const variable = draft.offsets[g]! + k;
        if (pools.length > 0) byGroup[part]!.set(g, [...(byGroup[part]!.get(g) ?? []), variable]);
        for (const [pool, count] of entries) {
          uses[part]![pool]!.variables.push(variable);
          uses[part]![pool]!.factors.push(count);
        }
      }
    }
  }
  return model.parts.map((_, part) => ({ byGroup: byGroup[part]!, uses: uses[part]! }));
}

function countEntries(pools: readonly number[]): Map<number, number> {
  const entries = new Map<number, number>();
  for (const pool of pools) entries.set(pool, (entries.get(pool) ?? 0) + 1);
  return entries;
}

/** One row per group: Σ x with the part ≤ use. The strong form: never looser than one row over all groups. */
function addUse(draft: Draft, part: ModelPart, index: number, { byGroup }: PartLinks): number {
  const use = draft.variables.length;
  const { origin } = part;
  draft.variables.push({ name: `y${index}`, origin, cost: part.fixed, lower: 0, upper: 1, isInteger: false });
  for (const [g, variables] of byGroup) {
    draft.rows.push({
      name: `use${g}_${index}`,
      origin,
      variables: [...variables, use],
      factors: [...variables.map(() => 1), -1],
      lower: -Infinity,
      upper: 0,
    });
  }
  return use;
}

/** uses ≤ channels · modules ≤ uses + channels - 1 makes modules = ceil(uses / channels) exactly. */
function moduleForms(draft: Draft, part: ModelPart, index: number, { uses }: PartLinks): Form[] {
  return uses.map((form, pool) => {
    if (form.variables.length === 0) return form;
    const variable = draft.variables.length;
    const most = Math.ceil(form.factors.reduce((sum, factor) => sum + factor, 0) / part.channels);
    const { origin } = part;
    draft.variables.push({ name: `m${index}_${pool}`, origin, cost: 0, lower: 0, upper: most, isInteger: true });
    draft.rows.push({
      name: `modules${index}_${pool}`,
      origin,
      variables: [variable, ...form.variables],
      factors: [part.channels, ...form.factors.map((factor) => -factor)],
      lower: 0,
      upper: part.channels - 1,
    });
    return { variables: [variable], factors: [1] };
  });
}

function unitForm(model: SelectionModel, modules: readonly Form[]): Form {
  const bySize = new Map<number, number>();
  for (const [pool, { variables, factors }] of modules.entries()) {
    for (const [at, variable] of variables.entries()) {
      bySize.set(variable, (bySize.get(variable) ?? 0) + factors[at]! * model.pools[pool]!.quantity);
    }
  }
  return { variables: [...bySize.keys()], factors: [...bySize.values()] };
}

function chargeForm(draft: Draft, form: Form, price: number): void {
  for (const [at, variable] of form.variables.entries()) {
    const before = draft.variables[variable]!;
    draft.variables[variable] = { ...before, cost: before.cost + price * form.factors[at]! };
  }
}

/** from · s[i] ≤ n[i] ≤ (next from - 1) · s[i]; Σ s = use; Σ n = units: the chosen step's price holds for all units. */
function addSteps(draft: Draft, part: ModelPart, at: { index: number; use: number; units: Form }): void {
  const { index, use, units } = at;
  const { origin } = part;
  const most = Math.max(1, bestCase(draft, units));
  const steps = part.steps.map((_, i) => addStep(draft, part, { index, i, most }));
  const ones = steps.map(() => 1);
  draft.rows.push({
    name: `step${index}`,
    origin,
    variables: [...steps.map(({ chosen }) => chosen), use],
    factors: [...ones, -1],
    lower: 0,
    upper: 0,
  });
  draft.rows.push({
    name: `units${index}`,
    origin,
    variables: [...steps.map(({ count }) => count), ...units.variables],
    factors: [...ones, ...units.factors.map((factor) => -factor)],
    lower: 0,
    upper: 0,
  });
}

function addStep(
  draft: Draft,
  { steps, origin }: ModelPart,
  { index, i, most }: { index: number; i: number; most: number },
): { chosen: number; count: number } {
  const { from, price } = steps[i]!;
  const last = Math.max(0, Math.min(most, (steps[i + 1]?.from ?? most + 1) - 1));
  const chosen = draft.variables.length;
  const count = chosen + 1;
  const name = `${index}_${i}`;
  draft.variables.push(
    { name: `s${name}`, origin, cost: 0, lower: 0, upper: from > most ? 0 : 1, isInteger: true },
    { name: `n${name}`, origin, cost: price, lower: 0, upper: last, isInteger: false },
  );
  const variables = [count, chosen];
  draft.rows.push(
    { name: `from${name}`, origin, variables, factors: [1, -from], lower: 0, upper: Infinity },
    { name: `till${name}`, origin, variables, factors: [1, -last], lower: -Infinity, upper: 0 },
  );
  return { chosen, count };
}

function bestCase(draft: Draft, form: Form): number {
  return form.variables.reduce((sum, variable, at) => sum + form.factors[at]! * draft.variables[variable]!.upper, 0);
}
