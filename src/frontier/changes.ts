import type { Setup } from "../decide/setup.ts";
import type { SupplyOption } from "../decide/supply-options.ts";
import { type AnyPart, partKey } from "../machine/catalogue.ts";
import type { AxisChange, BusChange, FrontierChanges, FrontierPick, SupplyNames } from "../machine/frontier.ts";
import type { PartLine } from "../machine/result.ts";
import type { PickParts } from "../physics/limits/pick-duty.ts";
import type { FoundOrder } from "./point.ts";

/** An order with its parts list. */
export interface ListedOrder {
  readonly order: FoundOrder;
  readonly parts: readonly PartLine[];
}

/** What goes, what comes, and on which axes and buses, from one order to another. */
export function changesOf(setup: Setup, from: ListedOrder, to: ListedOrder): Omit<FrontierChanges, "from"> {
  return {
    goes: without(from.parts, to.parts),
    comes: without(to.parts, from.parts),
    axes: axisChanges(setup, from.order, to.order),
    buses: busChanges(setup, from.order, to.order),
  };
}

/** Lines of a parts list whose part numbers another one does not hold. */
function without(parts: readonly PartLine[], others: readonly PartLine[]): PartLine[] {
  const held = new Set(others.map(keyOf));
  return parts.filter((part) => !held.has(keyOf(part)));
}

function keyOf({ kind, maker, id }: PartLine): string {
  return `${kind} ${partKey({ maker, part: id })}`;
}

function axisChanges(setup: Setup, from: FoundOrder, to: FoundOrder): AxisChange[] {
  return setup.machines.flatMap(({ machine, axes }, m) =>
    axes.flatMap(({ axis }, a) => {
      const before = from.answer.machines[m]?.axes[a];
      const after = to.answer.machines[m]?.axes[a];
      if (before === undefined || after === undefined || isSame(partsOf(before), partsOf(after))) return [];
      return [{ machine: machine.id, axis: axis.id, from: pickNames(before), to: pickNames(after) }];
    }),
  );
}

function busChanges(setup: Setup, from: FoundOrder, to: FoundOrder): BusChange[] {
  return setup.machines.flatMap(({ machine, buses }, m) =>
    buses.flatMap(({ bus }, b) => {
      const before = from.answer.machines[m]?.buses[b];
      const after = to.answer.machines[m]?.buses[b];
      if (before === undefined || after === undefined || isSame(fedBy(before), fedBy(after))) return [];
      return [{ machine: machine.id, bus: bus.id, from: supplyNames(before), to: supplyNames(after) }];
    }),
  );
}

type Slots = readonly (AnyPart | undefined)[];

function partsOf({ motor, gearbox, drive, inductor }: PickParts): Slots {
  return [motor, gearbox, drive, inductor];
}

function fedBy({ supply, resistor }: SupplyOption): Slots {
  return [supply, resistor];
}

function isSame(one: Slots, other: Slots): boolean {
  return slotKeys(one) === slotKeys(other);
}

function slotKeys(slots: Slots): string {
  return slots.map((part) => (part === undefined ? "" : partKey(part))).join("\n");
}

function pickNames({ motor, gearbox, drive, inductor }: PickParts): FrontierPick {
  return {
    motor: motor.part,
    gearbox: gearbox?.part ?? null,
    ratio: gearbox?.ratio ?? 1,
    drive: drive.part,
    inductor: inductor?.part ?? null,
  };
}

function supplyNames({ supply, resistor }: SupplyOption): SupplyNames {
  return { supply: supply?.part ?? null, resistor: resistor?.part ?? null };
}
