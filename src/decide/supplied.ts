import type { AnyPart } from "../machine/catalogue.ts";
import { partsOfSupply } from "../model/order.ts";
import type { Picks } from "../model/selection.ts";
import type { EvaluatedOrder, Evaluator } from "./evaluate.ts";
import { rivalOptions } from "./rivals.ts";
import { answerOf, type Round } from "./round.ts";
import { carries, type Sourcing } from "./sourcing.ts";
import type { SupplyOption } from "./supply-options.ts";

/** What supplies are judged with. */
interface SupplyCourt {
  readonly evaluator: Evaluator;
  readonly sourcing: Sourcing;
}

/**
 * The same picks with the cheapest supply of every bus that carries them, and whose parts have substitutes that do where
 * they need them; as they are where none does.
 */
export function supplied(round: Round, { evaluator, sourcing }: SupplyCourt, picks: Picks): Picks {
  const evaluated = evaluator.evaluate(answerOf(round, picks));
  return round.built.places.map((place, g) => {
    const before = picks[g] ?? 0;
    return place.kind === "bus" ? (cheapestCarrying(round, { sourcing, evaluated }, place) ?? before) : before;
  });
}

function cheapestCarrying(
  { setup: { machines } }: Round,
  { sourcing, evaluated }: { sourcing: Sourcing; evaluated: EvaluatedOrder },
  place: { machine: number; bus: number },
): number | undefined {
  const bus = machines[place.machine]?.buses[place.bus];
  const fed = evaluated.machines[place.machine]?.buses[place.bus];
  if (bus === undefined || fed === undefined) return undefined;
  const isCarrying = (option: SupplyOption): boolean =>
    carries(sourcing.setup, place, { fed, option, mayBreak: () => false });
  const isSourced = (option: SupplyOption, part: AnyPart): boolean =>
    !sourcing.kinds.has(part.kind) ||
    sourcing.rivals(part).some((rival) => rivalOptions(bus.alternatives, option, rival).some(isCarrying));
  const prices = bus.options.map(priceOf);
  const byPrice = bus.options
    .map((option, k) => ({ option, k }))
    .toSorted((a, b) => (prices[a.k] ?? 0) - (prices[b.k] ?? 0) || a.k - b.k);
  return byPrice.find(
    ({ option }) => isCarrying(option) && partsOfSupply(option).every((part) => isSourced(option, part)),
  )?.k;
}

function priceOf(option: SupplyOption): number {
  return partsOfSupply(option).reduce((sum, part) => sum + (part.prices[0]?.price ?? 0), 0);
}
