import type { OrderAnswer } from "../decide/answer.ts";
import type { Standing } from "../decide/court.ts";
import type { Setup } from "../decide/setup.ts";
import type { BrakingWay, SupplyOption } from "../decide/supply-options.ts";
import type { PartBase } from "../machine/catalogue.ts";
import type { PickParts } from "../physics/limits/pick-duty.ts";

/** An answer that stands, in names that can be looked up. */
export interface NamedAnswer {
  /** [cent] */
  readonly cost: number;
  readonly machines: readonly NamedMachine[];
}

interface NamedMachine {
  readonly axes: readonly NamedPick[];
  readonly buses: readonly NamedSupply[];
}

/** Maker and part number. */
type Name = readonly [string, string];

interface NamedPick {
  readonly motor: Name;
  readonly gearbox?: Name;
  readonly drive: Name;
  readonly inductor?: Name;
}

interface NamedSupply {
  readonly way: BrakingWay;
  readonly supply?: Name;
  readonly resistor?: Name;
}

export function namedAnswer({ cost, answer }: Standing): NamedAnswer {
  const machines = answer.machines.map(({ axes, buses }) => ({
    axes: axes.map(({ motor, gearbox, drive, inductor }) => ({
      motor: nameOf(motor),
      ...(gearbox === undefined ? {} : { gearbox: nameOf(gearbox) }),
      drive: nameOf(drive),
      ...(inductor === undefined ? {} : { inductor: nameOf(inductor) }),
    })),
    buses: buses.map(({ way, supply, resistor }) => ({
      way,
      ...(supply === undefined ? {} : { supply: nameOf(supply) }),
      ...(resistor === undefined ? {} : { resistor: nameOf(resistor) }),
    })),
  }));
  return { cost, machines };
}

function nameOf({ maker, part }: PartBase): Name {
  return [maker, part];
}

/** The answer that the names stand for; undefined where the problem has no such machine, axis, bus or part. */
export function answerNamed(setup: Setup, { machines }: NamedAnswer): OrderAnswer | undefined {
  if (machines.length !== setup.machines.length) return undefined;
  const found = machines.map(({ axes, buses }, m) => ({
    axes: axes.map((names) => pickNamed(setup, names)).filter((pick) => pick !== undefined),
    buses: buses.map((names, b) => supplyNamed(setup, { m, b }, names)).filter((option) => option !== undefined),
  }));
  const isWhole = setup.machines.every(
    ({ axes, buses }, m) => found[m]?.axes.length === axes.length && found[m].buses.length === buses.length,
  );
  return isWhole ? { machines: found } : undefined;
}

function pickNamed({ catalogue }: Setup, names: NamedPick): PickParts | undefined {
  const motor = partNamed(catalogue.motors, names.motor);
  const gearbox = partNamed(catalogue.gearboxes, names.gearbox);
  const drive = partNamed(catalogue.drives, names.drive);
  const inductor = partNamed(catalogue.inductors, names.inductor);
  const isLost = isMissing(gearbox, names.gearbox) || isMissing(inductor, names.inductor);
  return motor === undefined || drive === undefined || isLost ? undefined : { motor, gearbox, drive, inductor };
}

function isMissing(part: PartBase | undefined, name: Name | undefined): boolean {
  return part === undefined && name !== undefined;
}

function partNamed<Part extends PartBase>(parts: readonly Part[], name: Name | undefined): Part | undefined {
  return name === undefined ? undefined : parts.find((part) => isNamed(part, name));
}

function isNamed({ maker, part }: PartBase, [ofMaker, number]: Name): boolean {
  return maker === ofMaker && part === number;
}

function supplyNamed(
  { machines }: Setup,
  { m, b }: { m: number; b: number },
  { way, supply, resistor }: NamedSupply,
): SupplyOption | undefined {
  return machines[m]?.buses[b]?.options.find(
    (option) => option.way === way && isSame(option.supply, supply) && isSame(option.resistor, resistor),
  );
}

function isSame(part: PartBase | undefined, name: Name | undefined): boolean {
  return part === undefined || name === undefined ? part === name : isNamed(part, name);
}
