import type { AnyPart, Drive } from "../machine/catalogue.ts";
import { energyPrice, priceInColumn } from "../model/build.ts";
import { MACHINE_SUMS, sharesModules } from "../model/machine-sums.ts";
import { leastModules, leastModulesId, moduleShare } from "../model/module-rows.ts";
import { lowestPrice } from "../model/part-table.ts";
import { carryId, heaviest, sumRowId } from "../model/static-rows.ts";
import type { Prices } from "../solve/prices.ts";
import { groupOfAxis } from "./expressions.ts";
import type { Field } from "./field.ts";
import type { MassCase } from "./mass-cases.ts";
import {
  eachScored,
  type Makers,
  type PartTerms,
  partsTerm,
  partTerms,
  type ScoreVisitor,
  type Scoring,
  type TermSource,
} from "./pricing.ts";
import type { Round } from "./round.ts";
import type { Setup } from "./setup.ts";
import { limitOf, newCheapest, offer, type Scored, scoredOf, takenOf } from "./slots.ts";

/** What pricing a field reads. */
export interface PricingInput {
  readonly setup: Setup;
  readonly makers: Makers;
}

/** Parts at their lowest price, and energy. */
export function plainScoring({ setup, makers }: PricingInput, field: Field): Scoring {
  const { catalogue, problem } = setup;
  const lowest: TermSource["part"] = (part) => lowestPrice(part) * problem.weights.purchase;
  return {
    catalogue,
    makers,
    terms: partTerms(catalogue, makers, { part: lowest, frame: () => 0, maker: () => 0 }),
    energy: energyPrice(problem),
    carry: carryOf(field, []),
  };
}

/** What each case of carried mass earns at prices per kilogram, by axis of the field. */
export function carryOf({ lead, members }: Field, prices: readonly number[]): Float64Array {
  const earned = ({ high }: MassCase, k: number): number => -(prices[k] ?? 0) * heaviest(high);
  if (members.length === 1) return Float64Array.from(lead.cases, (one) => earned(one, 0));
  return Float64Array.of(members.reduce((sum, { range }, k) => sum + earned(range, k), 0));
}

/** Every candidate of a field priced at some multipliers. */
export interface PricedField {
  readonly group: number;
  readonly least: number;
  /** Candidates of least reduced cost. */
  readonly cheapest: readonly Scored[];
  readonly scoring: Scoring;
  /** What it costs more, at least, to use parts that the relaxation does not pay for. */
  readonly forced: PartTerms;
  /** Price of a kilogram carried, by axis of the field [cent/kg]. */
  readonly perCarried: readonly number[];
}

/** Cheapest candidates that join the thin model in each turn. */
const JOIN = 60;

/** Prices every candidate of a field at the multipliers of a model that holds some of them. */
export function pricedField(
  input: PricingInput,
  field: Field,
  { round, prices }: { round: Round; prices: Prices },
): PricedField {
  const { catalogue, problem } = input.setup;
  const { table } = round.built;
  const group = groupOfAxis(round.built.places, field.machine, field.axes[0] ?? -1);
  const { perCarried, perMass } = massPrices(input.setup, field, prices);
  const quantity = input.setup.machines[field.machine]?.machine.quantity ?? 1;
  const times = quantity * field.axes.length;
  const link = (part: number | undefined): number => (part === undefined ? 0 : prices.link(group, part));
  const slack = (part: number | undefined): number => (part === undefined ? 0 : prices.slack(part));
  const inSums = sumPrices(input.setup, field, { round, prices });
  const terms = partTerms(catalogue, input.makers, {
    part: (part) => times * priceInColumn(round.order, table, part) + link(table.find(part)) + inSums(part),
    frame: (name) => link(table.frame(name)),
    maker: (name) => link(table.maker(name)),
    perMass: times * problem.weights.mass + perMass,
  });
  const forced = partTerms(catalogue, input.makers, {
    part: (part) => slack(table.find(part)),
    frame: (name) => slack(table.frame(name)),
    maker: (name) => slack(table.maker(name)),
  });
  const energy = energyPrice(problem) * quantity;
  const scoring = { catalogue, makers: input.makers, terms, energy, carry: carryOf(field, perCarried) };
  const cheapest = cheapestOf(field, scoring, JOIN);
  return { group, least: cheapest[0]?.score ?? Number.POSITIVE_INFINITY, cheapest, scoring, forced, perCarried };
}

/**
 * What a part of a field pays for what it adds to sums over its machine, less what a single drive earns as a module of its
 * bus; modules of shared drives pay and earn elsewhere [cent].
 */
function sumPrices(
  { machines, problem }: Setup,
  { machine, axes }: Field,
  { round, prices }: { round: Round; prices: Prices },
): (part: AnyPart) => number {
  const own = machines[machine];
  const id = own?.machine.id ?? "";
  const priced = MACHINE_SUMS.map((sum) => ({ of: sum.of, price: axes.length * prices.row(sumRowId(sum, id)) }));
  const dear = priced.filter(({ price }) => price > 0);
  const columns = round.order.machines[machine];
  const rows = (columns === undefined ? [] : leastModules(columns, problem.weights.variety)).map((least) => {
    const entries = axes.filter((a) => own?.axes[a]?.bus === least.bus).length;
    const bus = own?.machine.buses[least.bus]?.id ?? "";
    return { least, price: entries * prices.row(leastModulesId(id, bus)) };
  });
  const earned = (drive: Drive): number =>
    rows.reduce((sum, { least, price }) => sum + price * moduleShare(least, drive), 0);
  return (part) => {
    if (sharesModules(part)) return 0;
    const paid = dear.reduce((all, { of, price }) => all + price * of(part), 0);
    return part.kind === "drive" ? paid - earned(part) : paid;
  };
}

/** Prices of a kilogram: carried, by axis of the field, and of the field's own mass on all that carry it [cent/kg]. */
function massPrices(
  { machines }: Setup,
  { machine, axes }: Field,
  prices: Prices,
): { perCarried: readonly number[]; perMass: number } {
  const own = machines[machine];
  const rowOf = (axis: number): number => prices.row(carryId(own?.machine.id ?? "", own?.axes[axis]?.axis.id ?? ""));
  const perMass = (own?.axes ?? []).reduce(
    (sum, { riders }, carrier) => sum + riders.filter((rider) => axes.includes(rider)).length * rowOf(carrier),
    0,
  );
  return { perCarried: axes.map(rowOf), perMass };
}

/** Least cost of a field's candidates; Infinity where it has none. */
export function leastOf(field: Field, scoring: Scoring): number {
  return cheapestOf(field, scoring, 1)[0]?.score ?? Number.POSITIVE_INFINITY;
}

function cheapestOf(field: Field, scoring: Scoring, count: number): readonly Scored[] {
  const cheapest = newCheapest(count);
  const bounds = { limit: Number.POSITIVE_INFINITY };
  eachScored(field, scoring, {
    bounds,
    visit: (seen) => {
      if (seen.score >= bounds.limit) return;
      offer(cheapest, seen);
      bounds.limit = limitOf(cheapest);
    },
  });
  return takenOf(cheapest, field);
}

/** Visits the candidates whose bound leaves room for an answer as good as the best known. */
export function eachWithin(field: Field, priced: PricedField, room: number, visit: ScoreVisitor): void {
  const { scoring, forced, least } = priced;
  eachScored(field, scoring, {
    bounds: { limit: least + room },
    visit: (seen) => {
      const pair = field.lead.looks[seen.look]!.judged.pairs[seen.pair]!;
      if (seen.score - least + partsTerm(forced, scoring.makers, pair, seen) <= room) visit(seen);
    },
  });
}

/** The same candidates, told one by one. */
export function within(field: Field, priced: PricedField, room: number): Scored[] {
  const left: Scored[] = [];
  eachWithin(field, priced, room, (seen) => left.push(scoredOf(field, seen)));
  return left;
}
