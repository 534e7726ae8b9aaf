import { partsOfSupply } from "../model/order.ts";
import { lowestPrice } from "../model/part-table.ts";
import { type Counting, type Field, fieldsOf, type JudgedAxes, poweredField } from "./field.ts";
import type { PowerMemory } from "./power-memory.ts";
import { carryOf, leastOf, type PricedField } from "./priced-field.ts";
import { wholeCycles } from "./round.ts";
import type { Setup } from "./setup.ts";
import { type Cast, countingOf, type Sieve } from "./sieve.ts";
import type { SupplyOption } from "./supply-options.ts";

/** What the first turn of sifting proved of all candidates: enough to bound a question that differs in a few axes. */
export interface FirstLook {
  readonly judged: JudgedAxes;
  readonly fields: readonly Field[];
  readonly priced: readonly PricedField[];
  readonly counting: Counting;
  /** No answer costs less, even where axes get other candidates that cost no less themselves [cent]. */
  readonly bound: number;
  /** What rounding to cents can add to it [cent]. */
  readonly rounding: number;
  /** What supplies add to the bound [cent]. */
  readonly ofSupplies: number;
  /** Power was counted over the whole cycle of every run. */
  readonly isWhole: boolean;
}

export function firstLookOf(
  { setup, fields, taken }: Sieve,
  judged: JudgedAxes,
  { cast, memory }: { cast: Cast; memory: PowerMemory },
): FirstLook {
  const { priced, openBound, ofSupplies, round } = cast;
  return {
    judged,
    fields,
    priced,
    counting: countingOf(setup, taken, memory),
    bound: openBound,
    rounding: round.built.model.rounding,
    ofSupplies,
    isWhole: taken.flat(2).every(({ share }) => share === 1),
  };
}

/**
 * The look at the same axes with other supplies on their one bus, none of which was among those looked at.
 *
 * The relaxation stays valid without the groups of buses, because parts then only lose rewards, and with any lower bound on
 * what the new supplies cost: their lowest prices. Power counts over the whole cycle, as energy given back counts as saved.
 */
export function lookAcross(look: FirstLook, setup: Setup, memory: PowerMemory): FirstLook {
  const whole = look.isWhole ? look : wholeLook(look, setup, memory);
  return { ...whole, bound: whole.bound - look.ofSupplies + leastSupplies(setup), ofSupplies: leastSupplies(setup) };
}

/** The same look with power counted over the whole cycle of every run. */
function wholeLook(look: FirstLook, setup: Setup, memory: PowerMemory): FirstLook {
  const counting = countingOf(setup, wholeCycles(setup), memory);
  const fields = look.fields.map((field) => poweredField(field, { catalogue: setup.catalogue, counting }));
  const gains = fields.map((field, f) => gainOf(look.priced[f], field));
  const priced = look.priced.map((own, f) => ({ ...own, least: own.least + (gains[f] ?? 0) }));
  return {
    ...look,
    fields,
    priced,
    counting,
    bound: gains.reduce((sum, gain) => sum + gain, look.bound),
    isWhole: true,
  };
}

/** What supplies cost at least, bus by bus [cent]. */
function leastSupplies({ machines, problem: { weights } }: Setup): number {
  const costOf = (option: SupplyOption): number =>
    partsOfSupply(option).reduce((sum, part) => sum + lowestPrice(part) * weights.purchase, 0) +
    (option.supply?.width ?? 0) * weights.cabinetWidth;
  return machines.reduce(
    (sum, { machine, buses }) =>
      sum + machine.quantity * buses.reduce((all, { options }) => all + Math.min(...options.map(costOf)), 0),
    0,
  );
}

/**
 * What answers cost at least where some axes have other candidates than those looked at [cent].
 *
 * At given multipliers the bound is a sum over groups: those that changed are priced anew.
 */
export function boundBeside(look: FirstLook, setup: Setup, judged: JudgedAxes): number {
  const changed = look.fields.flatMap(({ machine, axes }, f) =>
    axes.some((a) => judged[machine]?.[a] !== look.judged[machine]?.[a]) ? [f] : [],
  );
  if (changed.length === 0) return look.bound;
  const only = judged.map((axes, m) =>
    axes.map((axis, a) =>
      changed.some((f) => look.fields[f]?.machine === m && look.fields[f].axes.includes(a)) ? axis : emptied(axis),
    ),
  );
  const fields = fieldsOf(setup, only, look.counting);
  return changed.reduce((sum, f) => sum + gainOf(look.priced[f], fields[f]), look.bound);
}

/** Costs nothing to work out. */
function emptied(axis: JudgedAxes[number][number]): JudgedAxes[number][number] {
  return { ...axis, looks: [] };
}

function gainOf(priced: PricedField | undefined, field: Field | undefined): number {
  if (priced === undefined || field === undefined) return 0;
  const scoring = { ...priced.scoring, carry: carryOf(field, priced.perCarried) };
  return leastOf(field, scoring) - priced.least;
}
