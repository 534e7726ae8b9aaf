import type { PlacedMotionFault } from "../decide/setup.ts";
import type { Fault } from "../faults/fault.ts";
import { joinPointer } from "../input/json-pointer.ts";
import type { Problem } from "../machine/problem.ts";

/** Motions that cannot be, as faults at their places in the problem file. */
export function motionFaults(
  file: string,
  faults: readonly PlacedMotionFault[],
  { machines }: Pick<Problem, "machines">,
): Fault[] {
  return faults.map((fault) => {
    const { found, expected } = fault;
    return { code: "impossible-motion", place: { file, pointer: placeOf(fault, machines) }, found, expected };
  });
}

/** A measured shaft's motion stands in its file. */
function placeOf({ machine, axis, mode, segment }: PlacedMotionFault, machines: Problem["machines"]): string {
  const { id = "", mechanism } = machines[machine]?.axes[axis] ?? {};
  const base = `/machines/${machine}`;
  const own = mode === undefined ? `${base}/axes/${axis}` : joinPointer(`${base}/modes/${mode}/axes`, id);
  if (mechanism?.kind === "measured") return mode === undefined ? `${own}/mechanism/file` : `${own}/file`;
  return segment < 0 ? `${own}/motion` : `${own}/motion/${segment}`;
}
