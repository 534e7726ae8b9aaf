import { energyPrice, priceInColumn } from "../model/build.ts";
import type { Picks, SelectionModel } from "../model/selection.ts";
import { carryId, heaviest, isTopRow } from "../model/static-rows.ts";
import type { Multipliers } from "../solve/multipliers.ts";
import { type Prices, pricesOf } from "../solve/prices.ts";
import { type AxisColumns, columnsOf } from "./axis-columns.ts";
import type { Found } from "./court.ts";
import { cheapestList, coverOf, type KeyOf, keysOf, type Scored } from "./cover.ts";
import { groupOfAxis } from "./expressions.ts";
import { type Counting, type Field, fieldsOf, type JudgedAxes, poweredField } from "./field.ts";
import { finer, keptAxis } from "./finer.ts";
import type { JudgedAxis } from "./judged-axis.ts";
import type { MassCase } from "./mass-cases.ts";
import {
  eachScored,
  type Makers,
  makersOf,
  type PartTerms,
  partsTerm,
  partTerms,
  type Scoring,
  type TermSource,
} from "./pricing.ts";
import { type Round, roundOf, type TakenSpans } from "./round.ts";
import type { Setup } from "./setup.ts";

/** What sifting needs from outside: a bound with its multipliers, and the exact cost of a good answer. */
export interface SiftTools {
  /** Raises the bound of a model from multipliers that were good for one much like it. */
  readonly raise: (
    model: SelectionModel,
    from: Multipliers | undefined,
  ) => { multipliers: Multipliers; suggestions: readonly Picks[] };
  /** The best of some answers at its exact cost [cent], where one stands; and under which loads they fail as they are. */
  readonly best: (
    round: Round,
    suggestions: readonly Picks[],
  ) => { found: Found | undefined; strained: readonly Strain[] };
  /** A first answer by solving a selection of candidates, where no quick one stands. */
  readonly firstAnswer: (selection: Round["columns"], taken: TakenSpans) => Promise<number | undefined>;
  /** Spans over which power is counted; those where the best answer takes power, once there is one. */
  readonly taken: (best: Found | undefined) => TakenSpans;
  /** An answer of this cost is known already, or nothing dearer is wanted [cent]. */
  readonly known: number;
  readonly isStopped: () => boolean;
  /** Multipliers that were good for a question much like this one. */
  readonly multipliers: Multipliers | undefined;
}

/** A carrier that fails with what rides on it. */
export interface Strain {
  readonly machine: number;
  readonly axis: number;
  /** [kg] */
  readonly mass: number;
}

/** What is left, and the cost of the best known answer [cent]. */
export interface Sifted {
  readonly columns: readonly (readonly AxisColumns[])[];
  readonly best: number;
  /** No answer costs less [cent]. */
  readonly bound: number;
  /** false: stopped on the way; what is left is a selection, not all that an answer can contain. */
  readonly isWhole: boolean;
  readonly multipliers: Multipliers;
  readonly taken: TakenSpans;
}

/** Turns at the most, and the share of the candidates that one must drop to be worth another. */
const TURNS = 12;
const WORTH = 0.15;
/** Work on an axis up to which it is judged case by case at once, and where sifting it further does not help any more. */
const QUICK = 20_000;
const PATIENT = 200_000;
/** So few candidates need no more sifting. */
const FEW = 250;

/**
 * Keeps every candidate that an answer no dearer than the best known one can contain, and drops the rest by proof.
 *
 * Multipliers are found on a thin model that holds every part of every axis at least once; they then price out every
 * candidate: bound + (reduced cost − least reduced cost of the axis) + what its unused parts cost at least. One pass over
 * packed candidates in place of a column for each. What is left is judged finer where less can ride, and sifted again.
 */
export async function sifted(setup: Setup, judged: JudgedAxes, tools: SiftTools): Promise<Sifted> {
  const sieve = newSieve(setup, judged, tools);
  let [best, count] = [tools.known, Number.POSITIVE_INFINITY];
  for (let turn = 1; ; turn++) {
    const cast = await castOf(sieve, { tools, isFirst: turn === 1, best });
    best = Math.min(best, cast.found?.cost ?? cast.first ?? Number.POSITIVE_INFINITY);
    sieve.found = cast.found ?? sieve.found;
    sieve.multipliers = cast.multipliers;
    const outcome = { best, bound: cast.bound, multipliers: cast.multipliers, taken: sieve.taken };
    const room = best + cast.round.built.model.rounding - cast.bound;
    if (room < 0) return { ...outcome, columns: noColumns(sieve), isWhole: true };
    if (tools.isStopped()) return { ...outcome, columns: cast.round.columns, isWhole: false };
    const left = sieve.fields.map((field, f) => within(field, cast.priced[f], room));
    const size = left.reduce((sum, visits) => sum + visits.length, 0);
    const leads = sieve.fields.map(({ lead }, f) => keptAxis(lead, left[f] ?? []));
    for (const { machine, axis, mass } of cast.strained) sieve.strains[fieldAt(sieve, machine, axis)]?.add(mass);
    const isDone = turn === TURNS || size <= FEW || size > (1 - WORTH) * count;
    const most = isDone ? PATIENT : QUICK;
    const next = finer(setup, { fields: sieve.fields, leads, strains: sieve.strains, most });
    if (isDone && !(next.isFiner && turn < TURNS))
      return { ...outcome, columns: columnsBy(sieve, left), isWhole: true };
    count = next.isFiner ? Number.POSITIVE_INFINITY : size;
    recast(sieve, { leads: next.leads, tools, cast });
  }
}

/** What is sifted, and what the last turn learned. */
interface Sieve {
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
  found: Found | undefined;
  /** By field: masses under which answers failed. */
  readonly strains: readonly Set<number>[];
}

function newSieve(setup: Setup, judged: JudgedAxes, tools: SiftTools): Sieve {
  const taken = tools.taken(undefined);
  const fields = fieldsOf(setup, judged, countingOf(setup, taken));
  return {
    setup,
    makers: makersOf(setup.catalogue),
    keyOf: keysOf(setup.catalogue),
    fields,
    taken,
    multipliers: tools.multipliers,
    scorings: undefined,
    wanted: fields.map(() => new Set()),
    found: undefined,
    strains: fields.map(() => new Set()),
  };
}

function fieldAt({ fields }: Sieve, machine: number, axis: number): number {
  return fields.findIndex((field) => field.machine === machine && field.axes.includes(axis));
}

function countingOf({ problem }: Setup, taken: TakenSpans): Counting {
  return {
    takenOf: (machine, bus) => taken[machine]?.[bus] ?? { spans: [], share: 1 },
    isFree: energyPrice(problem) === 0,
  };
}

/** One turn: a thin model, its multipliers, and every candidate priced with them. */
interface Cast {
  readonly round: Round;
  readonly multipliers: Multipliers;
  readonly found: Found | undefined;
  readonly strained: readonly Strain[];
  /** Cost of a first answer that had to be solved for. */
  readonly first: number | undefined;
  readonly bound: number;
  readonly priced: readonly Priced[];
  readonly thin: readonly (readonly Scored[])[];
}

async function castOf(
  sieve: Sieve,
  { tools, isFirst, best }: { tools: SiftTools; isFirst: boolean; best: number },
): Promise<Cast> {
  const { setup, fields } = sieve;
  const scorings = sieve.scorings ?? fields.map((field) => plainScoring(sieve, field));
  const thin = fields.map((field, f) => coverOf(field, scorings[f]!, sieve.wanted[f]!));
  const round = roundOf(setup, columnsBy(sieve, thin), { mean: "quick", taken: sieve.taken });
  const bare = bareModel(round);
  const isKnown = isFirst && sieve.multipliers !== undefined;
  const { multipliers, suggestions } =
    isKnown && sieve.multipliers !== undefined
      ? { multipliers: sieve.multipliers, suggestions: [] }
      : tools.raise(bare, sieve.multipliers);
  const { found, strained } = tools.best(round, suggestions);
  const isOpen = found === undefined && best === Number.POSITIVE_INFINITY && !tools.isStopped();
  const first = isOpen ? await tools.firstAnswer(round.columns, sieve.taken) : undefined;
  const prices = pricesOf(bare, multipliers);
  const priced = fields.map((field) => pricedField(sieve, field, { round, prices }));
  const bound = priced.reduce((sum, { least, group }) => sum + least - (prices.least[group] ?? 0), prices.bound);
  return { round, multipliers, found, strained, first, bound, priced, thin };
}

/** The model without rows and terms that candidates outside it are not priced for; what rides counts. */
function bareModel({ built: { model } }: Round): SelectionModel {
  return { ...model, rows: model.rows.filter(isTopRow), envelopes: [] };
}

/** Takes the candidates that are left into the next turn. */
function recast(
  sieve: Sieve,
  { leads, tools, cast }: { leads: readonly JudgedAxis[]; tools: SiftTools; cast: Cast },
): void {
  const { setup, keyOf } = sieve;
  sieve.taken = tools.taken(sieve.found);
  sieve.wanted = cast.priced.map(
    ({ cheapest }, f) => new Set([...(cast.thin[f] ?? []), ...cheapest].map((visit) => keyOf(visit))),
  );
  const around = { catalogue: setup.catalogue, counting: countingOf(setup, sieve.taken) };
  sieve.fields = sieve.fields.map((field, f) => {
    const lead = leads[f] ?? field.lead;
    return poweredField({ ...field, lead, members: [lead, ...field.members.slice(1)] }, around);
  });
  sieve.scorings = cast.priced.map(({ scoring, carryPrices }, f) => ({
    ...scoring,
    carry: carryOf(sieve.fields[f]!, carryPrices),
  }));
}

/** Parts at their lowest price, and energy. */
function plainScoring({ setup, makers }: Sieve, field: Field): Scoring {
  const { catalogue, problem } = setup;
  const lowest: TermSource["part"] = ({ prices }) =>
    Math.min(...prices.map(({ price }) => price)) * problem.weights.purchase;
  return {
    catalogue,
    makers,
    terms: partTerms(catalogue, makers, { part: lowest, frame: () => 0, maker: () => 0 }),
    energy: energyPrice(problem),
    carry: carryOf(field, []),
  };
}

/** What each case of carried mass earns at prices per kilogram, by axis of the field. */
function carryOf({ lead, members }: Field, prices: readonly number[]): Float64Array {
  const earned = ({ high }: MassCase, k: number): number => -(prices[k] ?? 0) * heaviest(high);
  if (members.length === 1) return Float64Array.from(lead.cases, (one) => earned(one, 0));
  return Float64Array.of(members.reduce((sum, { range }, k) => sum + earned(range, k), 0));
}

/** Every candidate of a field priced at some multipliers. */
interface Priced {
  readonly group: number;
  readonly least: number;
  /** Candidates of least reduced cost. */
  readonly cheapest: readonly Scored[];
  readonly scoring: Scoring;
  /** What it costs more, at least, to use parts that the relaxation does not pay for. */
  readonly forced: PartTerms;
  /** Price of a kilogram carried, by axis of the field [cent/kg]. */
  readonly carryPrices: readonly number[];
}

/** Cheapest candidates that join the thin model in each turn. */
const JOIN = 60;

function pricedField(
  { setup, makers }: Sieve,
  field: Field,
  { round, prices }: { round: Round; prices: Prices },
): Priced {
  const { catalogue, problem } = setup;
  const { table, places } = round.built;
  const own = setup.machines[field.machine];
  const group = groupOfAxis(places, field.machine, field.axes[0] ?? -1);
  const times = (own?.machine.quantity ?? 1) * field.axes.length;
  const link = (part: number | undefined): number => (part === undefined ? 0 : prices.link(group, part));
  const slack = (part: number | undefined): number => (part === undefined ? 0 : prices.slack(part));
  const rowOf = (axis: number): number => prices.row(carryId(own?.machine.id ?? "", own?.axes[axis]?.axis.id ?? ""));
  const ridden = (own?.axes ?? []).reduce(
    (sum, { riders }, carrier) => sum + riders.filter((r) => field.axes.includes(r)).length * rowOf(carrier),
    0,
  );
  const carryPrices = field.axes.map(rowOf);
  const scoring: Scoring = {
    catalogue,
    makers,
    terms: partTerms(catalogue, makers, {
      part: (part) => times * priceInColumn(round.order, table, part) + link(table.find(part)),
      frame: (name) => link(table.frame(name)),
      maker: (name) => link(table.maker(name)),
      perMass: times * problem.weights.mass + ridden,
    }),
    energy: energyPrice(problem) * (own?.machine.quantity ?? 1),
    carry: carryOf(field, carryPrices),
  };
  const forced = partTerms(catalogue, makers, {
    part: (part) => slack(table.find(part)),
    frame: (name) => slack(table.frame(name)),
    maker: (name) => slack(table.maker(name)),
  });
  const cheapest = cheapestOf(field, scoring, JOIN);
  return { group, least: cheapest[0]?.score ?? Number.POSITIVE_INFINITY, cheapest, scoring, forced, carryPrices };
}

function cheapestOf(field: Field, scoring: Scoring, count: number): readonly Scored[] {
  const cheapest = cheapestList(count);
  const bounds = { limit: Number.POSITIVE_INFINITY };
  eachScored(field, scoring, {
    bounds,
    visit: (l, index, drive, inductor, at, score) => {
      const look = field.lead.looks[l]!;
      cheapest.offer({ look, index, drive, inductor, case: look.cases[at]!, score });
      bounds.limit = cheapest.limit();
    },
  });
  return cheapest.list;
}

/** Candidates whose bound leaves room for an answer as good as the best known. */
function within(field: Field, priced: Priced | undefined, room: number): Scored[] {
  if (priced === undefined) return [];
  const { scoring, forced, least } = priced;
  const left: Scored[] = [];
  eachScored(field, scoring, {
    bounds: { limit: least + room },
    visit: (l, index, drive, inductor, at, score) => {
      const look = field.lead.looks[l]!;
      const { motor, gearbox } = look.judged.pairs[index]!;
      const over = score - least + partsTerm(forced, scoring.makers, { motor, gearbox, drive, inductor });
      if (over <= room) left.push({ look, index, drive, inductor, case: look.cases[at]!, score });
    },
  });
  return left;
}

function noColumns(sieve: Sieve): AxisColumns[][] {
  return columnsBy(
    sieve,
    sieve.fields.map(() => []),
  );
}

/** Some candidates of each field as columns of its axes. */
function columnsBy(sieve: Sieve, visits: readonly (readonly Scored[])[]): AxisColumns[][] {
  const { setup, fields } = sieve;
  return setup.machines.map(({ axes }, m) =>
    axes.flatMap((_, a) => {
      const f = fieldAt(sieve, m, a);
      const member = fields[f]?.members[fields[f].axes.indexOf(a)];
      return member === undefined ? [] : [columnsOf(member, setup.catalogue, visits[f] ?? [])];
    }),
  );
}
