import { energyPrice } from "../model/build.ts";
import type { Envelope, Expression, Picks } from "../model/selection.ts";
import type { Span } from "../physics/duty/spans.ts";
import { spansOfSign } from "../physics/power/bus-power.ts";
import { expressionAt, usesOf } from "../solve/cost.ts";
import type { EvaluatedOrder } from "./evaluate.ts";
import {
  axesTerm,
  type BusPlace,
  busGroupIndex,
  moduleTerm,
  pickedMasses,
  powerExpression,
  whenRidersWeigh,
  whenSupply,
} from "./expressions.ts";
import type { Round } from "./round.ts";

/** A row for one of the model's energy envelopes. */
export interface EnergyRow {
  readonly envelope: number;
  readonly row: Envelope["rows"][number];
}

/** Difference in cost below which a row is not worth adding [cent]. */
const WORTH = 1e-3;

/**
 * What the columns' mean power leaves out of the energy bill of an answer, as rows that are true of every answer.
 *
 * input = mean of max(ΣP, 0) ≥ ΣP over any set of instants, divided by the cycle: the set where this answer takes power
 * gives a row that is exact for it. The columns already count a mean of their own, so the row is the difference.
 */
export function energyRowsFor(round: Round, picks: Picks, evaluated: EvaluatedOrder): EnergyRow[] {
  if (energyPrice(round.setup.problem) === 0) return [];
  return evaluated.machines.flatMap(({ buses }, machine) =>
    buses.flatMap(({ runs }, bus) =>
      runs.flatMap(({ demand, input }, run) => {
        const envelope = round.built.energy[machine]?.[bus]?.[run];
        if (envelope === undefined) return [];
        const place = { machine, bus };
        const back = isFeedingBack(round, place, picks) ? [] : spansOfSign(demand.billed, -1);
        const taken = complement(back, demand.billed.period);
        return rowsOf(round, picks, { place, run, envelope, taken, all: back.length === 0, input });
      }),
    ),
  );
}

interface Bill {
  readonly place: BusPlace;
  /** Which of the machine's runs it is for. */
  readonly run: number;
  readonly envelope: number;
  /** Where the answer takes power. */
  readonly taken: readonly Span[];
  /** It takes power all the time, or feeds back: the row then holds with every supply. */
  readonly all: boolean;
  readonly input: number;
}

function rowsOf(round: Round, picks: Picks, { place, run, envelope, taken, all, input }: Bill): EnergyRow[] {
  const { model } = round.built;
  const uses = usesOf(model, picks);
  const counted = countedMean(round, place, run);
  const cost = model.envelopes[envelope]?.cost ?? 0;
  const missing = input - expressionAt(model, counted, picks, uses);
  if (missing * cost < WORTH) return [];
  const extra = (masses: ReadonlyMap<number, number> | undefined): Expression =>
    minus(
      powerExpression(round, place, {
        reading: { kind: "share", spans: taken },
        sum: "billed",
        sign: 1,
        factor: 1,
        masses,
        run,
      }),
      counted,
    );
  const when = all ? [] : whenSupply(round, place, ({ way }) => way !== "feeds-back");
  const id = `energy/${place.machine}/${place.bus}/${run}/${taken.map(({ from, to }) => `${from}-${to}`).join(",")}`;
  const loose = { envelope, row: { id, expression: extra(undefined), when } };
  if ((missing - expressionAt(model, loose.row.expression, picks, uses)) * cost < WORTH) return [loose];
  const masses = pickedMasses(round, place.machine, picks);
  const weighed = whenRidersWeigh(round, { machine: place.machine, carriers: [...masses.keys()] }, picks);
  const exact = {
    id: `${id}/${[...masses.values()].join(" ")}`,
    expression: extra(masses),
    when: [...when, ...weighed],
  };
  return [loose, { envelope, row: exact }];
}

function isFeedingBack(round: Round, place: BusPlace, picks: Picks): boolean {
  const option =
    round.setup.machines[place.machine]?.buses[place.bus]?.options[picks[busGroupIndex(round, place)] ?? -1];
  return option?.way === "feeds-back";
}

/** Mean power that columns and modules count in their cost for one of the machine's runs [W]. */
function countedMean(round: Round, place: BusPlace, run: number): Expression {
  const priced = round.order.machines[place.machine]?.axes ?? [];
  const factors = axesTerm(round, place, (axis, { drive }, at) => {
    const fixed = drive.channels === 1 ? drive.fixedLoss * round.order.takenShare : 0;
    return fixed + (priced[axis]?.powers.runs[run]?.[at] ?? 0);
  });
  return {
    factors,
    modules: moduleTerm(round, place, ({ fixedLoss }) => fixedLoss * round.order.takenShare),
    constant: 0,
  };
}

/** Difference of two expressions over the same groups and modules. */
function minus(one: Expression, other: Expression): Expression {
  const factors = new Map(
    [...one.factors].map(([g, values]) => [g, values.map((value, k) => value - (other.factors.get(g)?.[k] ?? 0))]),
  );
  const modules = one.modules.map((term, k) => ({ ...term, factor: term.factor - (other.modules[k]?.factor ?? 0) }));
  return { factors, modules, constant: one.constant - other.constant };
}

function complement(spans: readonly Span[], period: number): Span[] {
  const sorted = spans.toSorted((a, b) => a.from - b.from);
  const borders = [0, ...sorted.flatMap(({ from, to }) => [from, to]), period];
  return borders.flatMap((from, k) => {
    const to = borders[k + 1];
    return k % 2 === 0 && to !== undefined && to > from ? [{ from, to }] : [];
  });
}
