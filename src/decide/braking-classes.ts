import type { BusPlace } from "./expressions.ts";
import type { Setup } from "./setup.ts";
import type { SupplyOption } from "./supply-options.ts";

/** A setup in which it is settled for every bus how its energy is billed. */
export interface BrakingClass {
  readonly setup: Setup;
  /** By machine and bus: what is given back may count as saved, because its supply may feed back. */
  readonly saves: readonly (readonly boolean[])[];
}

/** The ways of braking of a setup. */
export interface Brakings {
  /** No bus feeds back that can be fed otherwise. */
  readonly first: BrakingClass;
  /** Buses that can be fed either way: every choice of some of them to feed back is another class. */
  readonly both: readonly BusPlace[];
}

/** Splits a setup by what happens to energy given back. */
export function brakingsOf(setup: Setup): Brakings {
  const both = setup.machines.flatMap(({ buses }, machine) =>
    buses.flatMap(({ options }, bus) => (options.some(isBack) && !options.every(isBack) ? [{ machine, bus }] : [])),
  );
  return { first: feedingBack(setup, both, []), both };
}

/** The class in which some of the buses that can be fed either way feed back, and the others do not. */
export function feedingBack(setup: Setup, both: readonly BusPlace[], fed: readonly BusPlace[]): BrakingClass {
  return classOf(setup, (option, place) => !isIn(both, place) || isBack(option) === isIn(fed, place));
}

/** All classes in one: every bus is fed in any way. */
export function anyBraking(setup: Setup): BrakingClass {
  return classOf(setup, () => true);
}

function classOf(setup: Setup, keep: (option: SupplyOption, place: BusPlace) => boolean): BrakingClass {
  const machines = setup.machines.map((own, machine) => ({
    ...own,
    buses: own.buses.map((one, bus) => ({
      ...one,
      options: one.options.filter((option) => keep(option, { machine, bus })),
    })),
  }));
  return {
    setup: { ...setup, machines },
    saves: machines.map(({ buses }) => buses.map(({ options }) => options.some(isBack))),
  };
}

function isIn(places: readonly BusPlace[], { machine, bus }: BusPlace): boolean {
  return places.some((place) => place.machine === machine && place.bus === bus);
}

function isBack({ way }: SupplyOption): boolean {
  return way === "feeds-back";
}
