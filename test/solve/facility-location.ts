import { readFileSync } from "node:fs";
import type { SelectionModel } from "../../src/model/selection.ts";
import { at } from "./brute-force.ts";

/** A published instance: opening cost by site, cost of each customer at each site. */
export interface Instance {
  readonly opening: readonly number[];
  readonly assignment: readonly (readonly number[])[];
}

const FOLDER = new URL("../../shared/reference/facility-location/", import.meta.url);

const numbersOf = (name: string): number[] =>
  readFileSync(new URL(`${name}.txt`, FOLDER), "utf8")
    .split(/\s+/u)
    .filter((word) => word !== "")
    .map((word) => (word === "capacity" ? 0 : Number(word)));

/** Reads a facility location file: sites with capacity (unused) and opening cost, customers with demand and costs. */
export function readInstance(name: string): Instance {
  const numbers = numbersOf(name);
  const [sites, customers] = [at(numbers, 0), at(numbers, 1)];
  const opening = Array.from({ length: sites }, (_, site) => at(numbers, 2 + 2 * site + 1));
  const first = 2 + 2 * sites;
  const assignment = Array.from({ length: customers }, (_, c) => {
    const start = first + c * (sites + 1) + 1;
    return numbers.slice(start, start + sites);
  });
  return { opening, assignment };
}

/** Reads a p-median file: a graph; costs are shortest path lengths between its nodes. */
export function readMedian(name: string): Instance & { readonly p: number } {
  const numbers = numbersOf(name);
  const [count, edges, p] = [at(numbers, 0), at(numbers, 1), at(numbers, 2)];
  const paths = Array.from({ length: count }, (_, a) =>
    Array.from({ length: count }, (_unused, b) => (a === b ? 0 : Infinity)),
  );
  for (let edge = 0; edge < edges; edge += 1) {
    const first = 3 + 3 * edge;
    const [a, b, length] = [at(numbers, first) - 1, at(numbers, first + 1) - 1, at(numbers, first + 2)];
    at(paths, a)[b] = length;
    at(paths, b)[a] = length;
  }
  for (let via = 0; via < count; via += 1) {
    for (const row of paths) {
      for (let b = 0; b < count; b += 1) row[b] = Math.min(at(row, b), at(row, via) + at(at(paths, via), b));
    }
  }
  return { opening: Array.from({ length: count }, () => 0), assignment: paths, p };
}

/** Customers are groups, sites are parts: opening cost is the fixed charge, assignment cost the column's. */
export function modelOf({ opening, assignment }: Instance, mostSites?: number): SelectionModel {
  const origin = { kind: "test", id: "facility location" } as const;
  return {
    groups: assignment.map((costs, c) => ({
      id: `customer ${c}`,
      origin,
      pools: [0],
      decideFirst: false,
      columns: costs.map((cost, site) => ({ cost, parts: [site], tie: { mass: 0, text: `site ${site}` } })),
    })),
    parts: opening.map((fixed, site) => ({
      id: `site ${site}`,
      origin,
      fixed,
      steps: [],
      channels: 1,
      isPartNumber: true,
    })),
    pools: [{ id: "all", quantity: 1 }],
    caps:
      mostSites === undefined ? [] : [{ id: "sites", origin, members: opening.map((_, site) => site), max: mostSites }],
    rows: [],
    envelopes: [],
    unit: 0,
    rounding: 0,
  };
}
