import { DRIVE_STATE } from "../candidates/judge-drives.ts";
import type { JudgedAxes } from "../decide/field.ts";
import type { JudgedAxis } from "../decide/judged-axis.ts";
import type { MachineSetup, Setup } from "../decide/setup.ts";
import { type AnyPart, partKey } from "../machine/catalogue.ts";
import type { FrontierKind } from "../machine/frontier.ts";
import { placeName } from "./place-name.ts";

/** A place of the order that needs one of some things, such as the motors that pass on an axis. */
export interface Demand {
  /** Such as `motor of lift`. */
  readonly what: string;
  /** Axis or bus. */
  readonly place: string;
  readonly choices: ReadonlySet<string>;
}

/** What the axes and buses of an order need of a kind, each by itself. */
export function demandsOf(setup: Setup, judged: JudgedAxes, kind: FrontierKind): Demand[] {
  const demands = setup.machines.flatMap((machine, m) => [
    ...machine.axes.flatMap((_, a) => axisDemands(setup, judged[m]?.[a], { place: placeOf(setup, machine, a), kind })),
    ...busDemands(setup, machine, kind),
  ]);
  return demands.toSorted((one, other) => one.choices.size - other.choices.size);
}

/**
 * Demands of which no two can be met by one thing: an order holds at least as many as there are.
 *
 * Taken one by one, fewest choices first; there may be more of them than are found. Exact as a bound, because judging drops
 * no part that passes on its axis: whatever the order is, each demand is met by one of its choices.
 */
export function apartDemands(demands: readonly Demand[]): Demand[] {
  const apart: Demand[] = [];
  for (const demand of demands) if (apart.every(({ choices }) => isApart(choices, demand.choices))) apart.push(demand);
  return apart;
}

function isApart(one: ReadonlySet<string>, other: ReadonlySet<string>): boolean {
  return [...one].every((choice) => !other.has(choice));
}

function placeOf(setup: Setup, { machine, axes }: MachineSetup, a: number): string {
  return placeName(setup, machine, axes[a]?.axis.id ?? "");
}

/** Parts that a candidate of an axis can have, by what they are there. */
interface AxisParts {
  readonly motor: ReadonlySet<AnyPart>;
  /** Empty: it may do without one. */
  readonly gearbox: ReadonlySet<AnyPart>;
  readonly drive: ReadonlySet<AnyPart>;
}

function axisDemands(
  { catalogue }: Setup,
  axis: JudgedAxis | undefined,
  { place, kind }: { place: string; kind: FrontierKind },
): Demand[] {
  if (axis === undefined) return [];
  const parts = partsThatPass(axis, {
    motor: (index) => catalogue.motors[index],
    gearbox: (index) => catalogue.gearboxes[index],
    drive: (index) => catalogue.drives[index],
  });
  return (["motor", "gearbox", "drive"] as const).flatMap((what) => demandOf(parts[what], { what, place, kind }));
}

interface PartAt {
  readonly motor: (index: number) => AnyPart | undefined;
  readonly gearbox: (index: number) => AnyPart | undefined;
  readonly drive: (index: number) => AnyPart | undefined;
}

function partsThatPass({ looks }: JudgedAxis, at: PartAt): AxisParts {
  const [motors, gearboxes, drives] = [new Set<number>(), new Set<number>(), new Set<number>()];
  for (const { judged } of looks) {
    judged.pairs.forEach(({ motor, gearbox }, p) => {
      motors.add(motor);
      gearboxes.add(gearbox);
      judged.states[p]?.state.forEach((how, drive) => {
        if (how !== DRIVE_STATE.rejected) drives.add(drive);
      });
    });
  }
  const isGearless = gearboxes.has(NO_GEARBOX);
  return {
    motor: named(motors, at.motor),
    gearbox: isGearless ? new Set() : named(gearboxes, at.gearbox),
    drive: named(drives, at.drive),
  };
}

/** How judging writes that a pair has none. */
const NO_GEARBOX = -1;

function named(indices: ReadonlySet<number>, at: (index: number) => AnyPart | undefined): Set<AnyPart> {
  return new Set([...indices].flatMap((index) => at(index) ?? []));
}

function busDemands(setup: Setup, { machine, buses }: MachineSetup, kind: FrontierKind): Demand[] {
  return buses.flatMap(({ bus, options }) => {
    const supplies = options.map(({ supply }) => supply);
    const isFed = supplies.every((supply) => supply !== undefined);
    const place = placeName(setup, machine, `bus ${bus.id}`);
    return isFed ? demandOf(new Set(supplies), { what: "supply", place, kind }) : [];
  });
}

/** What of a part counts for each kind, such as the frame of a motor; undefined: nothing. */
export const COUNTS: Readonly<Record<FrontierKind, (part: AnyPart) => string | undefined>> = {
  motors: (part) => (part.kind === "motor" ? partKey(part) : undefined),
  frames: (part) => (part.kind === "motor" ? part.frame.trim() : undefined),
  gearboxes: (part) => (part.kind === "gearbox" ? partKey(part) : undefined),
  drives: (part) => (part.kind === "drive" ? partKey(part) : undefined),
  makers: ({ maker }) => maker,
  parts: (part) => `${part.kind} ${partKey(part)}`,
};

function demandOf(
  parts: ReadonlySet<AnyPart>,
  { what, place, kind }: { what: string; place: string; kind: FrontierKind },
): Demand[] {
  const choices = new Set([...parts].flatMap((part) => COUNTS[kind](part) ?? []));
  return choices.size === 0 ? [] : [{ what: `${what} of ${place}`, place, choices }];
}
