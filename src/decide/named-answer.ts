import type { Catalogue, PartBase } from "../machine/catalogue.ts";
import type { PickParts } from "../physics/limits/pick-duty.ts";
import type { OrderAnswer } from "./answer.ts";
import { type AxisColumns, columnsOf, everyVisit } from "./axis-columns.ts";
import { type KeyOf, keysOf, visitKey } from "./cover.ts";
import type { JudgedAxes } from "./field.ts";
import { filtered, type JudgedAxis } from "./judged-axis.ts";
import type { Setup } from "./setup.ts";
import type { BrakingWay, SupplyOption } from "./supply-options.ts";

/** An answer that stands, in names that can be looked up. */
export interface NamedAnswer {
  /** [cent] */
  readonly cost: number;
  readonly machines: readonly NamedMachine[];
}

/** What one machine of an answer is made of. */
export interface NamedMachine {
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

export function namedMachines({ machines }: OrderAnswer): readonly NamedMachine[] {
  return machines.map(({ axes, buses }) => ({
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
}

export function namedAnswer({ cost, answer }: { readonly cost: number; readonly answer: OrderAnswer }): NamedAnswer {
  return { cost, machines: namedMachines(answer) };
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

/** Candidates that the answers, of this question or of others, hold at the same places; by machine and axis. */
export function columnsNamed(
  setup: Setup,
  judged: JudgedAxes,
  answers: readonly (readonly NamedMachine[])[],
): AxisColumns[][] {
  const keyOf = keysOf(setup.catalogue);
  return judged.map((axes, m) =>
    axes.map((axis, a) => {
      const wanted = answers.flatMap((machines) => keysNamed(setup, keyOf, machines[m]?.axes[a]));
      return columnsWanted(axis, setup.catalogue, { keyOf, wanted });
    }),
  );
}

/** Keys of a pick's motor with gearbox and of the whole pick; none where the catalogue has it no more. */
function keysNamed(setup: Setup, keyOf: KeyOf, names: NamedPick | undefined): readonly WantedKey[] {
  const pick = names === undefined ? undefined : pickNamed(setup, names);
  if (pick === undefined) return [];
  const { motors, gearboxes, drives, inductors } = setup.catalogue;
  const pair = { motor: motors.indexOf(pick.motor), gearbox: placeOf(gearboxes, pick.gearbox) };
  const [drive, inductor] = [drives.indexOf(pick.drive), placeOf(inductors, pick.inductor)];
  return [{ pair: keyOf(pair, 0, NONE), whole: keyOf(pair, drive, inductor) }];
}

/** In place of an index: no such part in the pick. */
const NONE = -1;

interface WantedKey {
  readonly pair: number;
  readonly whole: number;
}

function placeOf<Part>(parts: readonly Part[], part: Part | undefined): number {
  return part === undefined ? NONE : parts.indexOf(part);
}

function columnsWanted(
  axis: JudgedAxis,
  catalogue: Catalogue,
  { keyOf, wanted }: { keyOf: KeyOf; wanted: readonly WantedKey[] },
): AxisColumns {
  const [pairs, wholes] = [new Set(wanted.map(({ pair }) => pair)), new Set(wanted.map(({ whole }) => whole))];
  const looks = axis.looks.map(({ judged, cases }) => ({
    judged: filtered(judged, (states, pair) => (pairs.has(keyOf(pair, 0, NONE)) ? states : undefined)),
    cases,
  }));
  const visits = everyVisit({ ...axis, looks }).filter((visit) => wholes.has(visitKey(keyOf, visit)));
  return columnsOf(axis, catalogue, visits);
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
