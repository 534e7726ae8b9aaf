import { partsOfSupply } from "../model/order.ts";
import type { Picks } from "../model/selection.ts";
import { type BusDemand, type BusSite, checkBus } from "./bus-check.ts";
import type { EvaluatedOrder, Evaluator } from "./evaluate.ts";
import { answerOf, type Round } from "./round.ts";
import type { Setup } from "./setup.ts";
import type { SupplyOption } from "./supply-options.ts";

/** The same picks with the cheapest supply of every bus that carries them; as they are where none does. */
export function supplied(round: Round, evaluator: Evaluator, picks: Picks): Picks {
  const evaluated = evaluator.evaluate(answerOf(round, picks));
  return round.built.places.map((place, g) => {
    const before = picks[g] ?? 0;
    return place.kind === "bus" ? (cheapestCarrying(round.setup, evaluated, place) ?? before) : before;
  });
}

function cheapestCarrying(
  { machines, problem: { site } }: Setup,
  evaluated: EvaluatedOrder,
  place: { machine: number; bus: number },
): number | undefined {
  const machine = machines[place.machine];
  const bus = machine?.buses[place.bus];
  const runs = evaluated.machines[place.machine]?.buses[place.bus]?.runs;
  if (machine === undefined || bus === undefined || runs === undefined) return undefined;
  const around = { site, voltage: bus.voltage, margin: machine.machine.powerMargin };
  const prices = bus.options.map(priceOf);
  const byPrice = prices.map((_, k) => k).toSorted((a, b) => (prices[a] ?? 0) - (prices[b] ?? 0) || a - b);
  return byPrice.find((k) => runs.every(({ demand }) => carries(bus.options[k], demand, around)));
}

function priceOf(option: SupplyOption): number {
  return partsOfSupply(option).reduce((sum, part) => sum + (part.prices[0]?.price ?? 0), 0);
}

function carries(option: SupplyOption | undefined, demand: BusDemand, around: BusSite): boolean {
  if (option === undefined) return false;
  const { failed, familyClash } = checkBus(demand, option, around);
  return failed.length === 0 && !familyClash;
}
