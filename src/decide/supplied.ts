import { partsOfSupply } from "../model/order.ts";
import type { Picks } from "../model/selection.ts";
import { checkBus } from "./bus-check.ts";
import type { Evaluator } from "./evaluate.ts";
import { answerOf, type Round } from "./round.ts";

/** The same picks with the cheapest supply of every bus that carries them; as they are where none does. */
export function supplied(round: Round, evaluator: Evaluator, picks: Picks): Picks {
  const { setup, built } = round;
  const evaluated = evaluator.evaluate(answerOf(round, picks));
  return built.places.map((place, g) => {
    const before = picks[g] ?? 0;
    const machine = place.kind === "bus" ? setup.machines[place.machine] : undefined;
    const bus = place.kind === "bus" ? machine?.buses[place.bus] : undefined;
    const demand = place.kind === "bus" ? evaluated.machines[place.machine]?.buses[place.bus]?.demand : undefined;
    if (bus === undefined || demand === undefined) return before;
    const around = { site: setup.problem.site, voltage: bus.voltage, margin: machine?.machine.powerMargin ?? 0 };
    const prices = bus.options.map((option) =>
      partsOfSupply(option).reduce((sum, part) => sum + (part.prices[0]?.price ?? 0), 0),
    );
    const byPrice = prices.map((_, k) => k).toSorted((a, b) => (prices[a] ?? 0) - (prices[b] ?? 0) || a - b);
    const carrying = byPrice.find((k) => {
      const option = bus.options[k];
      if (option === undefined) return false;
      const { failed, familyClash } = checkBus(demand, option, around);
      return failed.length === 0 && !familyClash;
    });
    return carrying ?? before;
  });
}
