import { entryOf } from "../faults/entry-of.ts";
import { energyPrice } from "../model/build.ts";
import type { SelectionModel } from "../model/selection.ts";
import { pricesAll } from "../model/static-rows.ts";
import type { Multipliers } from "../solve/multipliers.ts";
import { type Prices, pricesOf } from "../solve/prices.ts";
import { type AxisColumns, columnsOf } from "./axis-columns.ts";
import type { Standing } from "./court.ts";
import { coverOf, type KeyOf, keysOf, visitKey } from "./cover.ts";
import { busGroupIndex } from "./expressions.ts";
import { type Counting, type Field, fieldsOf, type JudgedAxes, poweredField } from "./field.ts";
import type { Finder, Raised, Strain } from "./finder.ts";
import type { JudgedAxis } from "./judged-axis.ts";
import type { PowerMemory } from "./power-memory.ts";
import { carryOf, type PricedField, plainScoring, pricedField } from "./priced-field.ts";
import { type Makers, makersOf, type Scoring } from "./pricing.ts";
import { type Round, roundOf, type TakenSpans } from "./round.ts";
import type { Setup } from "./setup.ts";
import type { Scored } from "./slots.ts";

/** What sifting needs from outside: a bound with its multipliers, and the exact cost of a good answer. */
export interface SiftTools extends Pick<Finder, "raise" | "best" | "isStopped"> {
  /** Cost of a first answer by solving a selection of candidates, where no quick one stands [cent]. */
  readonly firstAnswer: (selection: Round["columns"], taken: TakenSpans) => Promise<number | undefined>;
  /** A good answer below a cost among a selection of candidates, by some searching. */
  readonly roughAnswer: (
    selection: Round["columns"],
    around: { taken: TakenSpans; upTo: number },
  ) => Promise<Standing | undefined>;
  /** Spans over which power is counted; those where the best answer takes power, once there is one. */
  readonly taken: (best: Standing | undefined) => TakenSpans;
  /** A good answer to begin with. */
  readonly found: Standing | undefined;
  /** An answer of this cost is known already, or nothing dearer is wanted [cent]. */
  readonly known: number;
  readonly memory: PowerMemory;
  /** Multipliers that were good for a question much like this one. */
  readonly multipliers: Multipliers | undefined;
}

/** What is sifted, and what the last turn learned. */
export interface Sieve {
  readonly setup: Setup;
  readonly makers: Makers;
  readonly keyOf: KeyOf;
  fields: readonly Field[];
  taken: TakenSpans;
  multipliers: Multipliers | undefined;
  /** Reduced costs by field, where candidates were priced before. */
  scorings: readonly Scoring[] | undefined;
  /** Keys of candidates that belong into the thin model, by field. */
  wanted: readonly ReadonlySet<number>[];
  found: Standing | undefined;
  /** Cost of the best answer known [cent]. */
  best: number;
  /** By field: masses under which answers failed. */
  readonly strains: readonly Set<number>[];
}

/** A sieve with every candidate in it. */
export function newSieve(setup: Setup, judged: JudgedAxes, tools: SiftTools): Sieve {
  const taken = tools.taken(tools.found);
  const fields = fieldsOf(setup, judged, countingOf(setup, taken, tools.memory));
  return {
    setup,
    makers: makersOf(setup.catalogue),
    keyOf: keysOf(setup.catalogue),
    fields,
    taken,
    multipliers: tools.multipliers,
    scorings: undefined,
    wanted: fields.map(() => new Set()),
    found: tools.found,
    best: Math.min(tools.known, tools.found?.cost ?? Number.POSITIVE_INFINITY),
    strains: fields.map(() => new Set()),
  };
}

/** Index of an axis's field. */
function fieldAt({ fields }: Sieve, machine: number, axis: number): number {
  return fields.findIndex((field) => field.machine === machine && field.axes.includes(axis));
}

/** How energy counts over some spans. */
export function countingOf({ problem }: Setup, taken: TakenSpans, memory: PowerMemory): Counting {
  return {
    memory,
    takenOf: (machine, bus) => entryOf(entryOf(taken, machine), bus),
    isFree: energyPrice(problem) === 0,
  };
}

/** One turn: a thin model, its multipliers, and every candidate priced with them. */
export interface Cast {
  readonly round: Round;
  readonly multipliers: Multipliers;
  readonly found: Standing | undefined;
  readonly strained: readonly Strain[];
  /** Cost of the best answer known now [cent]. */
  readonly best: number;
  readonly bound: number;
  /** The same where axes may get candidates without the parts that all of theirs have. */
  readonly openBound: number;
  /** What supplies add to it, by machine and bus: least reduced costs of their groups. */
  readonly supplies: readonly (readonly number[])[];
  readonly priced: readonly PricedField[];
  readonly thin: readonly (readonly Scored[])[];
}

/** Takes one turn. */
export async function castOf(sieve: Sieve, tools: SiftTools): Promise<Cast> {
  const { fields } = sieve;
  const scorings = sieve.scorings ?? fields.map((field) => plainScoring(sieve, field));
  const thin = fields.map((field, f) => coverOf(field, scorings[f]!, { keep: sieve.wanted[f]!, keyOf: sieve.keyOf }));
  const round = roundOf(sieve.setup, columnsBy(sieve, thin), {
    mean: "quick",
    taken: sieve.taken,
    memory: tools.memory,
  });
  const bare = bareModel(round);
  const { multipliers, suggestions } = multipliersFor(sieve, bare, tools);
  const { found, strained } = tools.best(round, suggestions);
  const best = Math.min(sieve.best, found?.cost ?? (await firstCost(sieve, round, tools)));
  const prices = pricesOf(bare, multipliers);
  const priced = fields.map((field) => pricedField(sieve, field, { round, prices }));
  const gains = priced.reduce((sum, { least, group }) => sum + least - (prices.least[group] ?? 0), 0);
  const [bound, openBound] = [prices.bound + gains, prices.openBound + gains];
  return {
    round,
    multipliers,
    found,
    best,
    strained,
    bound,
    openBound,
    supplies: ofSupplies(round, prices),
    priced,
    thin,
  };
}

/** What supplies add to the bound, by machine and bus. */
function ofSupplies(round: Round, { least }: Prices): number[][] {
  return round.setup.machines.map(({ buses }, machine) =>
    buses.map((_, bus) => least[busGroupIndex(round, { machine, bus })] ?? 0),
  );
}

/** Those that were good for a question much like this one are tried first as they are. */
function multipliersFor({ scorings, multipliers, best }: Sieve, bare: SelectionModel, tools: SiftTools): Raised {
  const isFirst = scorings === undefined;
  return isFirst && multipliers !== undefined ? { multipliers, suggestions: [] } : tools.raise(bare, multipliers, best);
}

/** Cost of an answer that is solved for where none is known yet and no quick one stands. */
async function firstCost({ best, taken }: Sieve, { columns }: Round, tools: SiftTools): Promise<number> {
  if (best < Number.POSITIVE_INFINITY || tools.isStopped()) return Number.POSITIVE_INFINITY;
  return (await tools.firstAnswer(columns, taken)) ?? Number.POSITIVE_INFINITY;
}

/** The model without rows and terms that candidates outside it are not priced for; what rides counts. */
function bareModel({ built: { model } }: Round): SelectionModel {
  return { ...model, rows: model.rows.filter(pricesAll), envelopes: [] };
}

/** Takes what a turn learned into the next one. */
export function learn(sieve: Sieve, { found, best, multipliers, strained }: Cast): void {
  sieve.found = found ?? sieve.found;
  sieve.best = best;
  sieve.multipliers = multipliers;
  for (const { machine, axis, mass } of strained) sieve.strains[fieldAt(sieve, machine, axis)]?.add(mass);
}

/**
 * Searches a little for a better answer among each field's cheapest candidates: what it costs is soon saved where much
 * is left, because the room above the bound decides how much goes on.
 *
 * @returns whether there is one
 */
export async function improve(sieve: Sieve, { priced }: Cast, tools: SiftTools): Promise<boolean> {
  const { best } = sieve;
  const taken = tools.taken(sieve.found);
  const selection = columnsBy(
    sieve,
    priced.map(({ cheapest }) => cheapest),
  );
  const found = await tools.roughAnswer(selection, { taken, upTo: best });
  if (found === undefined || found.cost >= best) return false;
  sieve.found = found;
  sieve.best = found.cost;
  return true;
}

/** Takes the candidates that are left, by field, into the next turn. */
export function recast(
  sieve: Sieve,
  leads: readonly JudgedAxis[],
  { cast, tools }: { cast: Cast; tools: SiftTools },
): void {
  const { setup, keyOf } = sieve;
  sieve.taken = tools.taken(sieve.found);
  sieve.wanted = cast.priced.map(
    ({ cheapest }, f) => new Set([...(cast.thin[f] ?? []), ...cheapest].map((visit) => visitKey(keyOf, visit))),
  );
  const around = { catalogue: setup.catalogue, counting: countingOf(setup, sieve.taken, tools.memory) };
  sieve.fields = sieve.fields.map((field, f) => {
    const lead = leads[f] ?? field.lead;
    return poweredField({ ...field, lead, members: [lead, ...field.members.slice(1)] }, around);
  });
  sieve.scorings = cast.priced.map(({ scoring, perCarried }, f) => ({
    ...scoring,
    carry: carryOf(sieve.fields[f]!, perCarried),
  }));
}

/** Some candidates of each field as columns of its axes. */
export function columnsBy(sieve: Sieve, visits: readonly (readonly Scored[])[]): AxisColumns[][] {
  const { setup, fields } = sieve;
  return setup.machines.map(({ axes }, m) =>
    axes.flatMap((_, a) => {
      const f = fieldAt(sieve, m, a);
      const member = fields[f]?.members[fields[f].axes.indexOf(a)];
      return member === undefined ? [] : [columnsOf(member, setup.catalogue, visits[f] ?? [])];
    }),
  );
}
