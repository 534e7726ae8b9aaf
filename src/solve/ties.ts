import type { LinearModel, LinearRow } from "../model/linear.ts";
import { lowerWith, picksOf } from "../model/lower.ts";
import type { Column, Picks, SelectionModel } from "../model/selection.ts";
import { ask } from "./ask.ts";
import type { Core } from "./core.ts";
import { type Court, exclude, hear, limitOf } from "./court.ts";
import type { Domain } from "./domain.ts";
import type { Enumeration } from "./enumerate.ts";
import { keptColumns, type LeafTools, solveLeaf } from "./leaf.ts";
import { restrict } from "./restrict.ts";
import { compareCodePoints, compareTexts, compareTies, isSameMass, type TieKey, tieKeyOf } from "./tie-key.ts";

/** How an enumeration looks for the tie rule's winner: texts in order, branches that cannot win given up. */
export function tieEnumeration(court: Court, domain: Domain): Pick<Enumeration, "isHopeless" | "compare"> {
  const { core } = court;
  const partialKey = partialKeys(core, domain);
  return {
    compare: (a, b) => compareCodePoints(columnAt(core, a).tie.text, columnAt(core, b).tie.text) || a - b,
    isHopeless: (chosen) => court.tie !== undefined && isBeaten(partialKey(chosen), court.tie),
  };
}

/** Lower bounds of the tie key once the first groups have picked: by columns, with what the other groups bring anyway. */
function partialKeys(core: Core, domain: Domain): (chosen: readonly number[]) => TieKey {
  const restMass = leastRestMass(core, domain);
  const given = givenParts(core, domain);
  return (chosen) => {
    const parts = new Set(given);
    const texts: string[] = [];
    let mass = restMass[chosen.length]!;
    for (const [g, column] of chosen.entries()) {
      const { tie, parts: used } = columnAt(core, column);
      texts.push(tie.text);
      mass += tie.mass;
      if (core.model.groups[g]!.pools.length === 0) continue;
      for (const part of used) if (core.model.parts[part]!.isPartNumber) parts.add(part);
    }
    return { partCount: parts.size, mass, texts };
  };
}

function columnAt({ model, groupOf, offset }: Core, column: number): Column {
  const group = groupOf[column]!;
  return model.groups[group]!.columns[column - offset[group]!]!;
}

/** Whether no completion of a partial key (lower bounds of count and mass, first texts) beats the best. */
function isBeaten(partial: TieKey, best: TieKey): boolean {
  if (partial.partCount !== best.partCount) return partial.partCount > best.partCount;
  if (!isSameMass(partial.mass, best.mass)) return partial.mass > best.mass;
  return compareTexts(partial.texts, best.texts) > 0;
}

/** By number of groups chosen: least mass of all later groups. */
function leastRestMass(core: Core, domain: Domain): number[] {
  const rest = [0];
  for (let g = core.groupCount - 1; g >= 0; g -= 1) {
    const { columns } = core.model.groups[g]!;
    const least = domain.alive[g]!.reduce(
      (sum, column) => Math.min(sum, columns[column - core.offset[g]!]!.tie.mass),
      Infinity,
    );
    rest.unshift(rest[0]! + least);
  }
  return rest;
}

/** Part numbers that every column left of some group has. */
function givenParts(core: Core, domain: Domain): Set<number> {
  const given = new Set<number>();
  for (const [g, alive] of domain.alive.entries()) {
    const { columns, pools } = core.model.groups[g]!;
    if (pools.length === 0 || alive.length === 0) continue;
    const lists = Array.from(alive, (column) => columns[column - core.offset[g]!]!.parts);
    for (const part of lists[0]!) {
      if (core.model.parts[part]!.isPartNumber && lists.every((list) => list.includes(part))) given.add(part);
    }
  }
  return given;
}

/**
 * The tie rule's winner in a domain by lexicographic engine solves: fewest parts, then least mass, then the texts
 * group by group, all at a cost not above the limit. Each winner is judged; one that is no tie is cut off.
 */
export async function solveTieLeaf(court: Court, domain: Domain, tools: LeafTools): Promise<boolean> {
  // Most leaves hold no tie at all, and their plain optimum shows it sooner than a proof of infeasibility.
  const cheapest = await solveLeaf(court.core, domain, tools);
  if (cheapest.kind === "none" || (cheapest.kind === "best" && cheapest.cost > limitOf(court))) return true;
  for (let round = 0; round < 200; round += 1) {
    const { model, restore } = restrict(court.core.model, keptColumns(court.core, domain));
    const answer = await lexicographic(model, limitOf(court), tools);
    if (answer === "stopped") return false;
    if (answer === "none") return true;
    const picks = restore(answer);
    const isTie = hear(court, picks) === "taken" || isKnownTie(court, picks);
    if (isTie || beatsOrEnds(court, picks)) return true;
    exclude(court, picks);
  }
  return false;
}

function isKnownTie({ known, best }: Court, picks: Picks): boolean {
  return known.get(picks.join(" "))?.cost === best?.cost;
}

/** Whether the best so far is preferred to everything the engine's winner stands for. */
function beatsOrEnds(court: Court, picks: Picks): boolean {
  return court.tie !== undefined && compareTies(tieKeyOf(court.core.model, picks), court.tie) >= 0;
}

interface Stage {
  readonly costs: Float64Array;
  /** Room above the optimum of the stage in the stages after it. */
  readonly room: number;
}

async function lexicographic(
  model: SelectionModel,
  limit: number,
  tools: LeafTools,
): Promise<Picks | "none" | "stopped"> {
  const { linear, parts } = lowerWith(model, (part) => model.parts[part]!.isPartNumber);
  const { length } = linear.variables;
  const costs = linear.variables.map(({ cost }) => cost);
  const rows: LinearRow[] = [...linear.rows, rowOf(costs, limit, "cost")];
  let picks: Picks | "none" = "none";
  for (const [at, stage] of stagesOf(
    model,
    parts.map(({ use }) => use),
    length,
  ).entries()) {
    const variables = linear.variables.map((variable, index) => ({ ...variable, cost: stage.costs[index]! }));
    const found = await solveStage(model, { variables, rows }, tools);
    if (found === "stopped" || (found === "none" && at > 0)) return "stopped";
    if (found === "none") return "none";
    picks = found.picks;
    rows.push(rowOf([...stage.costs], found.cost + stage.room, `stage${at}`));
  }
  return picks;
}

async function solveStage(
  model: SelectionModel,
  linear: LinearModel,
  { engines, seconds, counts }: LeafTools,
): Promise<{ picks: Picks; cost: number } | "none" | "stopped"> {
  counts.calls += 1;
  const answer = await ask(engines.highs, linear, seconds());
  if (answer.status === "infeasible") return "none";
  const { values } = answer;
  const picks = values === undefined ? undefined : picksOf(model, values);
  if (picks === undefined || values === undefined) {
    counts.failures += 1;
    return "stopped";
  }
  return { picks, cost: linear.variables.reduce((sum, { cost }, at) => sum + cost * values[at]!, 0) };
}

function rowOf(costs: readonly number[], upper: number, name: string): LinearRow {
  const variables = costs.flatMap((cost, at) => (cost === 0 ? [] : [at]));
  const factors = variables.map((at) => costs[at]!);
  return { name: `tie_${name}`, origin: { kind: "cost", what: "ties" }, variables, factors, lower: -Infinity, upper };
}

/** Part count, mass, then the rank of each group's text. */
function stagesOf(model: SelectionModel, uses: readonly (number | undefined)[], length: number): Stage[] {
  const count = new Float64Array(length);
  for (const [part, use] of uses.entries()) if (use !== undefined && model.parts[part]!.isPartNumber) count[use] = 1;
  const mass = new Float64Array(length);
  const texts: Stage[] = [];
  let offset = 0;
  for (const { columns } of model.groups) {
    const sorted = [...new Set(columns.map(({ tie }) => tie.text))].toSorted(compareCodePoints);
    const rank = new Float64Array(length);
    for (const [k, { tie }] of columns.entries()) {
      mass[offset + k] = tie.mass;
      rank[offset + k] = sorted.indexOf(tie.text);
    }
    if (sorted.length > 1) texts.push({ costs: rank, room: 0.5 });
    offset += columns.length;
  }
  return [{ costs: count, room: 0.5 }, { costs: mass, room: 1e-6 }, ...texts];
}
