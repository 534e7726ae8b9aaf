import type { SupplyOption } from "../decide/supply-options.ts";
import { entryOf } from "../faults/entry-of.ts";
import type { Binding, BusResult } from "../machine/result.ts";
import { bindingResult, withPrice } from "./bindings.ts";
import type { MachineSource } from "./machine-result.ts";
import { namesOf } from "./part-names.ts";
import { rideDownResult } from "./ride-down-result.ts";
import { byUtilisation } from "./table-units.ts";

/** One DC bus of the result; without a supply there is nothing to hold it. */
export function busResult(source: MachineSource, index: number): BusResult {
  const { setup, evaluated, table, price } = source;
  const { bus, options } = entryOf(setup.buses, index);
  const { judgement } = entryOf(evaluated.buses, index);
  const picked = entryOf(source.options, index);
  const [supply, resistor] = [namesOf(picked.supply), namesOf(picked.resistor)];
  const binding = supply.id === null ? null : bindingResult(source.busesFound?.[index], table, false);
  const limits = judgement.limits.map(table.limit);
  return {
    id: bus.id,
    supply: supply.id,
    supply_maker: supply.maker,
    resistor: resistor.id,
    resistor_maker: resistor.maker,
    price: table.figure(price(picked.supply) + price(picked.resistor), "cent"),
    limits: (binding === null ? limits : withPrice(limits, binding)).toSorted(byUtilisation),
    not_checked: judgement.unchecked,
    ride_down: rideDownResult(source, index),
    binding,
    next_part: nextPart(binding, options),
  };
}

/** The parts a step names, looked up among what the bus can have. */
function nextPart(binding: Binding | null, options: readonly SupplyOption[]): BusResult["next_part"] {
  const step = binding?.next_step ?? null;
  if (step === null) return null;
  const next = options.find(({ supply, resistor }) => step.part === wordsOf(supply, resistor));
  const [supply, resistor] = [namesOf(next?.supply), namesOf(next?.resistor)];
  return supply.id === null ? null : { supply: supply.id, resistor: resistor.id, total: step.total };
}

function wordsOf(supply: SupplyOption["supply"], resistor: SupplyOption["resistor"]): string {
  return [supply?.part, resistor?.part].filter((name) => name !== undefined).join(" with ");
}
