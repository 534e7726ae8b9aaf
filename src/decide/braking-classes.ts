import type { Setup } from "./setup.ts";
import type { SupplyOption } from "./supply-options.ts";

/** A setup whose supplies all bill energy in one way. */
export interface BrakingClass {
  readonly setup: Setup;
  /** Some supply may feed back: energy given back then counts as saved. */
  readonly feedsBack: boolean;
}

/**
 * Splits a setup by what happens to energy given back: first all supplies that do not feed back, then (with one bus) those
 * that do, or (with several) every combination in which some may.
 */
export function brakingClasses(setup: Setup): BrakingClass[] {
  const plain = restricted(setup, (option) => !isBack(option));
  const classes = hasOptions(plain) ? [{ setup: plain, feedsBack: false }] : [];
  const buses = setup.machines.flatMap((machine) => machine.buses);
  if (!buses.some(({ options }) => options.some(isBack))) return classes;
  const other = buses.length === 1 ? restricted(setup, isBack) : setup;
  return [...classes, { setup: other, feedsBack: true }];
}

function isBack({ way }: SupplyOption): boolean {
  return way === "feeds-back";
}

function restricted(setup: Setup, keep: (option: SupplyOption) => boolean): Setup {
  const machines = setup.machines.map((machine) => ({
    ...machine,
    buses: machine.buses.map((bus) => ({ ...bus, options: bus.options.filter(keep) })),
  }));
  return { ...setup, machines };
}

function hasOptions({ machines }: Setup): boolean {
  return machines.every(({ buses }) => buses.every(({ options }) => options.length > 0));
}
