import type { Fault, Result } from "../faults/fault.ts";
import { nearestName } from "../faults/nearest-name.ts";
import { missing, unknownName } from "../faults/wordings.ts";
import type { Catalogue, PartBase } from "../machine/catalogue.ts";
import type { Machine, Problem } from "../machine/problem.ts";
import type { AxisResult, BusResult, MachineResult, ResultDocument } from "../machine/result.ts";
import type { BusPick, MachinePick } from "./answer.ts";
import type { AxisPick } from "./evaluate-pick.ts";

/** A machine of the problem with what the result says of it and picks for it; axes and buses in the problem's order. */
export interface PickedMachine {
  readonly machine: Machine;
  readonly result: MachineResult;
  readonly axes: readonly AxisResult[];
  readonly buses: readonly BusResult[];
  readonly pick: MachinePick;
}

/** What looking up needs; faults are gathered here. */
interface Lookup {
  readonly file: string;
  readonly catalogue: Catalogue;
  readonly faults: Fault[];
}

/** The parts of a result in the catalogues, or a fault for each that is not there. */
export function picksOf(
  file: string,
  { machines }: ResultDocument,
  { problem, catalogue }: { readonly problem: Problem; readonly catalogue: Catalogue },
): Result<readonly PickedMachine[]> {
  const lookup: Lookup = { file, catalogue, faults: [] };
  reportStrangers(lookup, "/machines", machines, problem.machines, "a machine of the problem");
  const picked = problem.machines.flatMap((machine) => {
    const index = machines.findIndex(({ id }) => id === machine.id);
    const result = machines[index];
    return result === undefined ? [] : machineOf(lookup, `/machines/${index}`, machine, result);
  });
  return lookup.faults.length > 0 ? { ok: false, faults: lookup.faults } : { ok: true, value: picked };
}

interface Named {
  readonly id: string;
}

/** Names that only one side has. */
function reportStrangers(
  { file, faults }: Lookup,
  pointer: string,
  found: readonly Named[],
  known: readonly Named[],
  expected: string,
): void {
  const names = known.map(({ id }) => id);
  for (const [index, { id }] of found.entries()) {
    if (names.includes(id)) continue;
    const place = { file, pointer: `${pointer}/${index}/id` };
    faults.push(unknownName(place, { name: id, expected, nearest: nearestName(id, names) }));
  }
  for (const id of names.filter((name) => !found.some((one) => one.id === name))) {
    faults.push(missing({ file, pointer }, `no ${JSON.stringify(id)}`, `every one the problem has`));
  }
}

function machineOf(lookup: Lookup, pointer: string, machine: Machine, result: MachineResult): PickedMachine[] {
  reportStrangers(lookup, `${pointer}/axes`, result.axes, machine.axes, "an axis of the machine");
  reportStrangers(lookup, `${pointer}/buses`, result.buses, machine.buses, "a bus of the machine");
  const axes = machine.axes.flatMap(({ id }) => {
    const index = result.axes.findIndex((axis) => axis.id === id);
    const own = result.axes[index];
    const pick = own === undefined ? undefined : axisPick(lookup, `${pointer}/axes/${index}`, own);
    return own === undefined || pick === undefined ? [] : [{ own, pick }];
  });
  const buses = machine.buses.flatMap(({ id }) => {
    const index = result.buses.findIndex((bus) => bus.id === id);
    const own = result.buses[index];
    return own === undefined ? [] : [{ own, pick: busPick(lookup, `${pointer}/buses/${index}`, own) }];
  });
  if (axes.length < machine.axes.length || buses.length < machine.buses.length) return [];
  const pick = { axes: axes.map((axis) => axis.pick), buses: buses.map((bus) => bus.pick) };
  return [{ machine, result, axes: axes.map(({ own }) => own), buses: buses.map(({ own }) => own), pick }];
}

function axisPick(lookup: Lookup, pointer: string, axis: AxisResult): AxisPick | undefined {
  const { motors, gearboxes, drives, inductors } = lookup.catalogue;
  const motor = partOf(lookup, `${pointer}/motor`, motors, axis.motor, axis.motor_maker);
  const gearbox = partOf(lookup, `${pointer}/gearbox`, gearboxes, axis.gearbox, axis.gearbox_maker);
  const drive = partOf(lookup, `${pointer}/drive`, drives, axis.drive, axis.drive_maker);
  const inductor = partOf(lookup, `${pointer}/inductor`, inductors, axis.inductor, axis.inductor_maker);
  return motor === null || drive === null ? undefined : { motor, gearbox, drive, inductor };
}

function busPick(lookup: Lookup, pointer: string, bus: BusResult): BusPick {
  const { supplies, resistors } = lookup.catalogue;
  return {
    supply: partOf(lookup, `${pointer}/supply`, supplies, bus.supply, bus.supply_maker),
    resistor: partOf(lookup, `${pointer}/resistor`, resistors, bus.resistor, bus.resistor_maker),
  };
}

/** The part of that maker and number; a name that is in no catalogue is a fault. */
function partOf<Part extends PartBase>(
  { file, faults }: Lookup,
  pointer: string,
  parts: readonly Part[],
  ...[name, maker]: readonly [string | null, string | null]
): Part | null {
  if (name === null) return null;
  const found = parts.find((part) => part.part === name && part.maker === maker);
  if (found !== undefined) return found;
  const expected = `a part number of ${maker ?? "its maker"} in the catalogues`;
  const known = parts.filter((part) => part.maker === maker).map(({ part }) => part);
  faults.push(unknownName({ file, pointer }, { name, expected, nearest: nearestName(name, known) }));
  return null;
}
