import { DRIVE_STATE, type DriveStates, failuresOn } from "../candidates/judge-drives.ts";
import { unionOfFailed } from "../candidates/limit-scan.ts";
import { entryOf } from "../faults/entry-of.ts";
import type { AnyPart, Catalogue, PartKind } from "../machine/catalogue.ts";
import { partsOfSupply } from "../model/order.ts";
import type { JudgedAxes } from "./field.ts";
import { filtered, type JudgedAxis, type Judging, type Look } from "./judged-axis.ts";
import { type RivalsOf, rivalOptions } from "./rivals.ts";
import type { Setup } from "./setup.ts";
import type { SupplyOption } from "./supply-options.ts";

/**
 * The candidates of every axis whose parts have, each by itself, a substitute of another maker on that axis.
 *
 * Exact: a substitute stands in one answer only where its axis lets it pass at the mass that then rides, with the other
 * parts as they are. Judging drops nothing that passes at any mass in its range, so such a substitute is among the
 * candidates of the same look; a candidate without one in there is in no answer that stands. Where failures are accepted,
 * they are accepted of both together. Whether several axes have a substitute in common is left to the court.
 */
export function sourcedAxes({ problem, catalogue }: Setup, judged: JudgedAxes, rivals: RivalsOf): JudgedAxes {
  const kinds = new Set(problem.dualSource);
  if (kinds.size === 0) return judged;
  const indices = indicesOf(catalogue);
  const rivalsIn: RivalsIn = (parts, index) => {
    const part = parts[index];
    return part === undefined ? [] : rivals(part).map((rival) => indices.get(rival) ?? -1);
  };
  const lists = rivalLists(catalogue, rivalsIn);
  return judged.map((axes) => axes.map((axis) => sourcedAxis(axis, { kinds, lists })));
}

/** The ways to feed each bus whose supply and resistor have a substitute, whatever the bus has to carry. */
export function sourcedOptions(setup: Setup, rivals: RivalsOf): Setup {
  const kinds = new Set(setup.problem.dualSource);
  if (!kinds.has("supply") && !kinds.has("resistor")) return setup;
  const isKept = (option: SupplyOption, alternatives: readonly SupplyOption[]): boolean =>
    partsOfSupply(option).every(
      (part) =>
        !kinds.has(part.kind) || rivals(part).some((rival) => rivalOptions(alternatives, option, rival).length > 0),
    );
  const machines = setup.machines.map((machine) => ({
    ...machine,
    buses: machine.buses.map((bus) => ({
      ...bus,
      options: bus.options.filter((option) => isKept(option, bus.alternatives)),
    })),
  }));
  return { ...setup, machines };
}

type RivalsIn = (parts: readonly AnyPart[], index: number) => readonly number[];

function indicesOf(catalogue: Catalogue): ReadonlyMap<AnyPart, number> {
  const lists: readonly (readonly AnyPart[])[] = Object.values(catalogue);
  return new Map(lists.flatMap((list) => list.map((part, index) => [part, index] as const)));
}

/** Rivals by catalogue index, kind by kind. */
interface RivalLists {
  readonly motor: readonly (readonly number[])[];
  readonly gearbox: readonly (readonly number[])[];
  readonly drive: readonly (readonly number[])[];
  readonly inductor: readonly (readonly number[])[];
}

function rivalLists({ motors, gearboxes, drives, inductors }: Catalogue, rivalsIn: RivalsIn): RivalLists {
  const listed = (parts: readonly AnyPart[]): (readonly number[])[] => parts.map((_, k) => rivalsIn(parts, k));
  return { motor: listed(motors), gearbox: listed(gearboxes), drive: listed(drives), inductor: listed(inductors) };
}

interface Rules {
  readonly kinds: ReadonlySet<PartKind>;
  readonly lists: RivalLists;
}

/** The same axis where nothing is dropped. */
function sourcedAxis(axis: JudgedAxis, rules: Rules): JudgedAxis {
  const looks = axis.looks.map((look) => sourcedLook(look, axis.judging, rules));
  return looks.every((look, l) => look === axis.looks[l]) ? axis : { ...axis, looks };
}

/** A motor with gearbox of a look, and the pairs in it that have another motor or another gearbox in its place. */
interface Standing {
  readonly look: Look;
  readonly judging: Judging;
  readonly pair: number;
  readonly otherMotor: readonly number[];
  readonly otherGearbox: readonly number[];
}

function sourcedLook(look: Look, judging: Judging, rules: Rules): Look {
  const { pairs, states } = look.judged;
  const places = new Map(pairs.map(({ motor, gearbox }, p) => [keyOf(motor, gearbox), p]));
  const at = (motor: number, gearbox: number): readonly number[] => {
    const found = places.get(keyOf(motor, gearbox));
    return found === undefined ? [] : [found];
  };
  let isDropped = false;
  const left = states.map((of, p): DriveStates | undefined => {
    const { motor, gearbox } = entryOf(pairs, p);
    const standing: Standing = {
      look,
      judging,
      pair: p,
      otherMotor: rules.kinds.has("motor")
        ? entryOf(rules.lists.motor, motor).flatMap((other) => at(other, gearbox))
        : [],
      otherGearbox:
        rules.kinds.has("gearbox") && gearbox >= 0
          ? entryOf(rules.lists.gearbox, gearbox).flatMap((other) => at(motor, other))
          : [],
    };
    const state = of.state.map((how, drive) => leftOf(standing, { drive, how }, rules));
    if (state.every((how, drive) => how === of.state[drive])) return of;
    isDropped = true;
    return state.some((how) => how !== DRIVE_STATE.rejected) ? { ...of, state } : undefined;
  });
  return isDropped ? { ...look, judged: filtered(look.judged, (_, __, p) => left[p]) } : look;
}

/** A number for each motor with a gearbox, of up to a million gearboxes. */
function keyOf(motor: number, gearbox: number): number {
  return motor * 2 ** 20 + gearbox + 1;
}

interface DriveAt {
  readonly drive: number;
  /** Alone (1) or with an inductor (2); both: 3. */
  readonly how: number;
}

/** What is left of a pair with a drive: alone, with an inductor, both or nothing. */
function leftOf(standing: Standing, { drive, how }: DriveAt, rules: Rules): number {
  const { alone, withInductor } = DRIVE_STATE;
  const isLeft = (bit: number): boolean => (how & bit) !== 0 && isSourced(standing, { drive, how: bit }, rules);
  return (isLeft(alone) ? alone : 0) + (isLeft(withInductor) ? withInductor : 0);
}

function isSourced(standing: Standing, at: DriveAt, rules: Rules): boolean {
  const { drive } = at;
  const { kinds, lists } = rules;
  const isHeld = (pair: number, other: number): boolean => standsIn(standing, at, { pair, drive: other });
  return (
    (!kinds.has("motor") || standing.otherMotor.some((pair) => isHeld(pair, drive))) &&
    (!kinds.has("drive") || entryOf(lists.drive, drive).some((other) => isHeld(standing.pair, other))) &&
    hasGearbox(standing, at, rules) &&
    hasInductor(standing, at, rules)
  );
}

function hasGearbox(standing: Standing, at: DriveAt, { kinds }: Rules): boolean {
  if (!kinds.has("gearbox") || entryOf(standing.look.judged.pairs, standing.pair).gearbox < 0) return true;
  return standing.otherGearbox.some((pair) => standsIn(standing, at, { pair, drive: at.drive }));
}

function hasInductor({ look, pair }: Standing, { drive, how }: DriveAt, { kinds, lists }: Rules): boolean {
  if (!kinds.has("inductor") || how === DRIVE_STATE.alone) return true;
  return hasOther(entryOf(look.judged.pairs, pair).inductors.get(drive) ?? [], lists);
}

function hasOther(helping: readonly number[], { inductor }: RivalLists): boolean {
  return helping.some((one) => helping.some((other) => inductor[one]?.includes(other)));
}

/**
 * Whether a pair with a drive may stand in for a candidate. One that does without an inductor is not told whether it also
 * does with one: it may.
 */
function standsIn({ look, judging, pair }: Standing, at: DriveAt, rival: { pair: number; drive: number }): boolean {
  const { states, most } = look.judged;
  const [own, other] = [entryOf(states, pair), entryOf(states, rival.pair)];
  const how = other.state[rival.drive] ?? DRIVE_STATE.rejected;
  if (at.how === DRIVE_STATE.withInductor) return how !== DRIVE_STATE.rejected;
  if ((how & DRIVE_STATE.alone) === 0) return false;
  if (most === 0 || judging.accepts === undefined) return true;
  const [mine, theirs] = [failuresOn(own, at.drive, false), failuresOn(other, rival.drive, false)];
  return judging.accepts(unionOfFailed(mine.failed, theirs.failed), Math.max(mine.by, theirs.by));
}
