import { ENFORCE, type JudgedAxis, judgedAxis } from "../decide/judged-axis.ts";
import { rangeOf } from "../decide/narrow.ts";
import { ridersFirst, type Setup } from "../decide/setup.ts";
import { entryOf } from "../faults/entry-of.ts";
import type { CarriedMass } from "../machine/ratios.ts";
import type { ResultDocument } from "../machine/result.ts";
import type { PlacedAxis } from "./named.ts";

/**
 * What rides on an axis: as a solved result has it, else the lightest motor and gearbox of each rider that pass on its own
 * axis. The lightest are the kindest: what fails under them fails under all.
 *
 * @param result - undefined: none was named
 */
export function carriedMass(setup: Setup, placed: PlacedAxis, result: ResultDocument | undefined): CarriedMass {
  const { machine, axis } = placed;
  const riders = axis.riders.map((index) => entryOf(machine.axes, index).axis.id);
  if (riders.length === 0) return { mass: 0, from: "nothing", riders };
  const solved = result?.machines.find(({ id }) => id === machine.machine.id);
  const own = solved?.axes.find(({ id }) => id === axis.axis.id);
  if (own !== undefined) return { mass: own.carried_mass, from: "result", riders };
  return { mass: lightest(setup, placed), from: "lightest", riders };
}

/** Riders are judged as for an order: each after what rides on it, over all that can. */
function lightest({ catalogue }: Setup, { machine, axis }: PlacedAxis): number {
  const found: JudgedAxis[] = [];
  for (const index of ridersFirst(machine).filter((rider) => axis.riders.includes(rider))) {
    const rider = entryOf(machine.axes, index);
    found[index] = judgedAxis(rider, catalogue, { range: rangeOf(rider, found, catalogue), judging: ENFORCE });
  }
  return rangeOf(axis, found, catalogue).low;
}
