import { partsOfSupply } from "../model/order.ts";
import { lowestPrice } from "../model/part-table.ts";
import type { Multipliers } from "../solve/multipliers.ts";
import type { BusPlace } from "./expressions.ts";
import { type Counting, type Field, fieldsOf, type JudgedAxes, poweredField } from "./field.ts";
import type { PowerMemory } from "./power-memory.ts";
import { carryOf, leastOf, type PricedField } from "./priced-field.ts";
import { type TakenSpans, wholeCycles } from "./round.ts";
import type { Setup } from "./setup.ts";
import { type Cast, countingOf, type Sieve } from "./sieve.ts";

/** What the first turn of sifting proved of all candidates: enough to bound a question that differs in a few axes. */
export interface FirstLook {
  readonly judged: JudgedAxes;
  readonly fields: readonly Field[];
  readonly priced: readonly PricedField[];
  readonly counting: Counting;
  /** Spans over which power was counted. */
  readonly taken: TakenSpans;
  /** No answer costs less, even where axes get other candidates that cost no less themselves [cent]. */
  readonly bound: number;
  /** What rounding to cents can add to it [cent]. */
  readonly rounding: number;
  /** What supplies add to the bound, by machine and bus [cent]. */
  readonly supplies: readonly (readonly number[])[];
  /** What all this was worked out at. */
  readonly multipliers: Multipliers;
}

export function firstLookOf(
  { setup, fields, taken }: Sieve,
  judged: JudgedAxes,
  { cast, memory }: { cast: Cast; memory: PowerMemory },
): FirstLook {
  const { priced, openBound, supplies, round, multipliers } = cast;
  return {
    judged,
    fields,
    priced,
    counting: countingOf(setup, taken, memory),
    taken,
    bound: openBound,
    rounding: round.built.model.rounding,
    supplies,
    multipliers,
  };
}

/**
 * The look at the same axes with other supplies on a bus, none of which was among those looked at.
 *
 * The relaxation stays valid without the group of the bus, because parts then only lose rewards, and with any lower bound on
 * what the new supplies cost: their lowest prices. Power of the bus counts over the whole cycle, as energy given back
 * counts as saved. Nothing else changes: what this adds to the bound is the same whatever feeds the other buses.
 *
 * @param setup - holds the other supplies of the bus, and no more of it
 */
export function lookAcross(look: FirstLook, setup: Setup, place: BusPlace, memory: PowerMemory): FirstLook {
  const whole = wholeLook(look, setup, place, memory);
  const least = leastSupply(setup, place);
  const before = look.supplies[place.machine]?.[place.bus] ?? 0;
  return { ...whole, bound: whole.bound - before + least, supplies: replaced(look.supplies, place, least) };
}

/** The same look with power of a bus counted over the whole cycle of every run. */
function wholeLook(look: FirstLook, setup: Setup, place: BusPlace, memory: PowerMemory): FirstLook {
  const { machine, bus } = place;
  const own = look.taken[machine]?.[bus] ?? [];
  const all = wholeCycles(setup)[machine]?.[bus];
  if (all === undefined || own.every(({ share }) => share === 1)) return look;
  const taken = replaced(look.taken, place, all);
  const counting = countingOf(setup, taken, memory);
  const fields = look.fields.map((field) =>
    field.machine === machine && field.lead.setup.bus === bus
      ? poweredField(field, { catalogue: setup.catalogue, counting })
      : field,
  );
  const gains = fields.map((field, f) => (field === look.fields[f] ? 0 : gainOf(look.priced[f], field)));
  const priced = look.priced.map((one, f) => ({ ...one, least: one.least + (gains[f] ?? 0) }));
  const bound = gains.reduce((sum, gain) => sum + gain, look.bound);
  return { ...look, fields, priced, counting, taken, bound };
}

function replaced<T>(table: readonly (readonly T[])[], { machine, bus }: BusPlace, value: T): T[][] {
  return table.map((row, m) => row.map((before, b) => (m === machine && b === bus ? value : before)));
}

/** What the supplies of a bus cost at least [cent]. */
function leastSupply({ machines, problem: { weights } }: Setup, { machine, bus }: BusPlace): number {
  const own = machines[machine];
  const costs = (own?.buses[bus]?.options ?? []).map(
    (option) =>
      partsOfSupply(option).reduce((sum, part) => sum + lowestPrice(part) * weights.purchase, 0) +
      (option.supply?.width ?? 0) * weights.cabinetWidth,
  );
  return (own?.machine.quantity ?? 1) * Math.min(...costs);
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
