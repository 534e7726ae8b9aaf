import type { Picks, SelectionModel, SharedRow, Verdict } from "../model/selection.ts";
import { addEnvelopeRow, addRow, type Core } from "./core.ts";
import { costOf, isFeasible, usesOf } from "./cost.ts";
import type { Outcome, SolveOptions } from "./outcome.ts";
import { compareTies, type TieKey, tieKeyOf } from "./tie-key.ts";

/** An answer at its exact cost. */
export interface Accepted {
  readonly picks: Picks;
  readonly cost: number;
}

/** Hears every answer once, keeps the best, and writes what the judge adds into the core. */
export interface Court {
  readonly core: Core;
  readonly judge: (picks: Picks) => Verdict;
  /** By picks as text. */
  readonly known: Map<string, { readonly picks: Picks; readonly cost?: number }>;
  readonly added: {
    rows: Outcome["added"]["rows"][number][];
    envelopeRows: Outcome["added"]["envelopeRows"][number][];
  };
  best: Accepted | undefined;
  /** Cost that a wanted answer must beat even before there is one. */
  readonly cutoff: number;
  /** Whether columns of answers that only equal the best are kept. */
  readonly keepsTies: boolean;
  /** Set while ties are settled: the best tie key so far. */
  tie: TieKey | undefined;
}

/** A court without any answer yet. */
export function newCourt(core: Core, options: Pick<SolveOptions, "judge" | "cutoff" | "ties">): Court {
  const trust = (picks: Picks): Verdict => ({ cost: costOf(core.model, picks), rows: [], envelopeRows: [] });
  return {
    core,
    judge: options.judge ?? trust,
    known: new Map(),
    added: { rows: [], envelopeRows: [] },
    best: undefined,
    cutoff: options.cutoff ?? Infinity,
    keepsTies: options.ties !== false,
    tie: undefined,
  };
}

/** Room for the rounding noise of sums of money, well below a unit. */
export function noiseOf(model: SelectionModel, cost: number): number {
  const noise = 1e-9 * Math.max(1, Math.abs(cost));
  return model.unit > 0 ? Math.min(noise, model.unit / 8) : noise;
}

/** Model cost above which no answer is wanted: none better than the best known, while ties are settled none equal. */
export function limitOf(court: Court): number {
  const { core, best, cutoff, tie } = court;
  const cost = best?.cost ?? cutoff;
  if (cost === Infinity) return Infinity;
  if (tie !== undefined) return tieLimitOf(court);
  const { unit, rounding } = core.model;
  const noise = noiseOf(core.model, cost);
  return cost - Math.max(unit, 4 * noise) + rounding + 2 * noise;
}

/** Model cost above which no answer equals the best known. */
export function tieLimitOf({ core, best, cutoff }: Court): number {
  const cost = best?.cost ?? cutoff;
  return cost === Infinity ? Infinity : cost + core.model.rounding + 2 * noiseOf(core.model, cost);
}

/** Model cost above which columns are deleted: what may tie is kept as long as ties will be settled. */
export function keepLimitOf(court: Court): number {
  return court.keepsTies ? tieLimitOf(court) : limitOf(court);
}

/** What became of an answer. */
export type Hearing = "taken" | "heard" | "unwanted";

/** Whether a cost beats the best known by enough to count. */
export function isBetter({ core, best, cutoff }: Pick<Court, "core" | "best" | "cutoff">, cost: number): boolean {
  return cost <= (best?.cost ?? cutoff) - Math.max(core.model.unit / 2, noiseOf(core.model, cost));
}

/** Judges an answer if it could matter and was not heard before. */
export function hear(court: Court, picks: Picks): Hearing {
  const { core } = court;
  const uses = usesOf(core.model, picks);
  if (costOf(core.model, picks, uses) > limitOf(court) || !isFeasible(core.model, picks, uses)) return "unwanted";
  const key = picks.join(" ");
  if (court.known.has(key)) return "heard";
  const verdict = court.judge(picks);
  court.known.set(key, verdict.cost === undefined ? { picks } : { picks, cost: verdict.cost });
  addRows(court, verdict);
  if (verdict.cost === undefined) {
    excludeIfStillIn(court, picks);
    return "heard";
  }
  return take(court, { picks, cost: verdict.cost });
}

/** Writes what a verdict adds into the core. */
export function addRows({ core, added }: Court, { rows, envelopeRows }: Verdict): void {
  const keys = new Set(core.rows.map(({ key }) => key));
  for (const row of rows) {
    if (keys.has(row.id)) continue;
    addRow(core, row);
    added.rows.push(row);
  }
  for (const { envelope, row } of envelopeRows) {
    if (keys.has(`${core.model.envelopes[envelope]!.id}/${row.id}`)) continue;
    addEnvelopeRow(core, envelope, row);
    added.envelopeRows.push({ envelope, row });
  }
}

/** A rejected answer that the judge's rows leave standing is cut off by its exact combination. */
function excludeIfStillIn(court: Court, picks: Picks): void {
  const { core } = court;
  if (!isFeasible(core.model, picks) || costOf(core.model, picks) > limitOf(court)) return;
  exclude(court, picks);
}

/** Cuts off one combination: where all its columns are picked, 1 ≤ 0 would have to hold. */
export function exclude(court: Court, picks: Picks): void {
  const row: SharedRow = {
    id: `cut/${picks.join("-")}`,
    origin: { kind: "cut", why: "this combination was judged outside the model" },
    expression: { factors: new Map(), modules: [], constant: 1 },
    max: 0,
    when: picks.map((pick, group) => ({ group, columns: new Set([pick]) })),
  };
  addRow(court.core, row);
  court.added.rows.push(row);
}

function take(court: Court, answer: Accepted): Hearing {
  const { best, core } = court;
  const noise = noiseOf(core.model, answer.cost);
  if (court.tie !== undefined && best !== undefined && Math.abs(answer.cost - best.cost) <= noise) {
    return takeTie(court, answer);
  }
  if (!isBetter(court, answer.cost)) return "heard";
  court.best = answer;
  if (court.tie !== undefined) court.tie = tieKeyOf(core.model, answer.picks);
  return "taken";
}

function takeTie(court: Court, answer: Accepted): Hearing {
  const key = tieKeyOf(court.core.model, answer.picks);
  if (court.tie !== undefined && compareTies(key, court.tie) >= 0) return "heard";
  court.tie = key;
  court.best = { picks: answer.picks, cost: court.best?.cost ?? answer.cost };
  return "taken";
}

/** Starts settling ties: among the answers heard so far, the one the tie rule prefers is the best. */
export function beginTies(court: Court): void {
  const { best, core } = court;
  if (best === undefined) return;
  court.tie = tieKeyOf(core.model, best.picks);
  for (const { picks, cost } of court.known.values()) {
    if (cost !== undefined && Math.abs(cost - best.cost) <= noiseOf(core.model, cost)) takeTie(court, { picks, cost });
  }
}
