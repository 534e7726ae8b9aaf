import { InternalFault } from "../../faults/fault.ts";
import { type Contrast, contrastsOf, type Factor, type Run } from "./factor.ts";
import type { Term } from "./term.ts";

/** A column of a model matrix: one number for each run. */
export interface ModelColumn {
  /** Of the term; with the level in brackets where a categorical factor takes part. */
  readonly name: string;
  readonly term: Term;
  readonly values: readonly number[];
}

/** Columns of the terms over the runs. Terms with categorical factors have one for each product of their contrasts. */
export function modelMatrix(factors: readonly Factor[], terms: readonly Term[], runs: readonly Run[]): ModelColumn[] {
  return terms.flatMap((term) => columnsOf(factors, term, runs));
}

interface Product {
  readonly names: readonly string[];
  readonly values: readonly number[];
}

function columnsOf(factors: readonly Factor[], term: Term, runs: readonly Run[]): ModelColumn[] {
  let products: readonly Product[] = [{ names: [], values: runs.map(() => 1) }];
  for (const id of term.of) {
    const place = factors.findIndex((factor) => factor.id === id);
    const factor = factors[place];
    if (factor === undefined) throw new InternalFault(`term ${term.name} names no factor ${id}`);
    const levels = runs.map((run) => run[place] ?? "");
    products = products.flatMap((product) => contrastsOf(factor).map((contrast) => times(product, contrast, levels)));
  }
  const isPlain = products.length === 1 && term.of.every((id) => products[0]?.names.includes(id));
  return products.map(({ names, values }) => ({
    name: term.of.length === 0 || isPlain ? term.name : names.join(" × "),
    term,
    values,
  }));
}

function times(product: Product, contrast: Contrast, levels: Run): Product {
  return {
    names: [...product.names, contrast.name],
    values: product.values.map((value, k) => value * contrast.of(levels[k] ?? "")),
  };
}
