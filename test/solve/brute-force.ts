import type { Expression, Picks, SelectionModel } from "../../src/model/selection.ts";

/** The element of a list that must be there. */
export function at<T>(list: { readonly [index: number]: T; readonly length: number }, index: number): T {
  const found = list[index];
  if (found === undefined) throw new Error(`no element ${index} of ${list.length}`);
  return found;
}

/** One complete answer of a model, worked out here from the model's definition alone. */
export interface Judged {
  readonly picks: Picks;
  readonly cost: number;
  readonly isFeasible: boolean;
}

/** Every combination of columns. */
export function* combinations(sizes: readonly number[], head: readonly number[] = []): Generator<number[]> {
  if (head.length === sizes.length) {
    yield [...head];
    return;
  }
  for (let column = 0; column < at(sizes, head.length); column += 1) yield* combinations(sizes, [...head, column]);
}

/** Cost and feasibility of picks by the definitions in the model's own documentation, in plain loops. */
export function judgeByHand(model: SelectionModel, picks: Picks): Judged {
  const columns = model.groups.map((group, g) => at(group.columns, at(picks, g)));
  const usesIn = (part: number, pool: number): number => {
    let uses = 0;
    model.groups.forEach((group, g) => {
      if (at(columns, g).parts.includes(part)) for (const entry of group.pools) uses += entry === pool ? 1 : 0;
    });
    return uses;
  };
  const modules = (part: number, pool: number): number =>
    Math.ceil(usesIn(part, pool) / at(model.parts, part).channels);
  const unitsBought = (part: number): number =>
    model.pools.reduce((sum, { quantity }, pool) => sum + quantity * modules(part, pool), 0);
  const valueOf = ({ factors, modules: terms, used = [], constant }: Expression): number => {
    let sum = constant;
    for (const [g, list] of factors) sum += at(list, at(picks, g));
    for (const { part, pool, factor } of terms) sum += factor * modules(part, pool);
    for (const { part, factor } of used) if (model.pools.some((_, pool) => modules(part, pool) > 0)) sum += factor;
    return sum;
  };
  const holds = (when: SelectionModel["rows"][number]["when"]): boolean =>
    when.every(({ group, columns: set }) => set.has(at(picks, group)));

  let cost = 0;
  for (const column of columns) cost += column.cost;
  model.parts.forEach((part, p) => {
    const units = unitsBought(p);
    if (units === 0) return;
    cost += part.fixed;
    let price = 0;
    for (const step of part.steps) if (step.from <= units) price = step.price;
    cost += units * price;
  });
  for (const { cost: rate, rows } of model.envelopes) {
    cost += rate * Math.max(0, ...rows.filter(({ when }) => holds(when)).map(({ expression }) => valueOf(expression)));
  }
  const isCapped = model.caps.every(
    ({ members, max }) => members.filter((part) => unitsBought(part) > 0).length <= max,
  );
  const areRowsKept = model.rows.every(
    ({ when, expression, max }) => !holds(when) || valueOf(expression) <= max + 1e-9,
  );
  return { picks, cost, isFeasible: isCapped && areRowsKept };
}

/** All feasible answers of the least cost. */
export function allOptima(model: SelectionModel): Judged[] {
  let best: Judged[] = [];
  for (const picks of combinations(model.groups.map(({ columns }) => columns.length))) {
    const judged = judgeByHand(model, picks);
    if (!judged.isFeasible || judged.cost > (best[0]?.cost ?? Infinity) + 1e-9) continue;
    if (judged.cost < (best[0]?.cost ?? Infinity) - 1e-9) best = [];
    best.push(judged);
  }
  return best;
}

/** The tie rule by sorting: fewest distinct part numbers, least mass, texts group by group in code-point order. */
export function tieWinner(model: SelectionModel, optima: readonly Judged[]): Judged | undefined {
  const keyOf = ({ picks }: Judged): [number, number, string] => {
    const columns = model.groups.map(({ columns: list }, g) => at(list, at(picks, g)));
    const parts = new Set(
      columns
        .flatMap((column, g) => (at(model.groups, g).pools.length > 0 ? column.parts : []))
        .filter((part) => at(model.parts, part).isPartNumber),
    );
    // UTF-32 text in hexadecimal sorts in code-point order; the separator sorts below every digit.
    const text = columns
      .map(({ tie }) =>
        Array.from(tie.text, (letter) => (letter.codePointAt(0) ?? 0).toString(16).padStart(6, "0")).join(""),
      )
      .join(" ");
    return [parts.size, columns.reduce((sum, { tie }) => sum + tie.mass, 0), text];
  };
  return optima
    .map((judged) => ({ judged, key: keyOf(judged) }))
    .toSorted(
      (a, b) => a.key[0] - b.key[0] || a.key[1] - b.key[1] || (a.key[2] < b.key[2] ? -1 : a.key[2] > b.key[2] ? 1 : 0),
    )[0]?.judged;
}
