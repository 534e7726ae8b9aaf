import type { PlacedMotionFault } from "../decide/setup.ts";
import type { Fault } from "../faults/fault.ts";

/** Motions that cannot be, as faults at their places in the problem file. */
export function motionFaults(file: string, faults: readonly PlacedMotionFault[]): Fault[] {
  return faults.map(({ machine, axis, segment, found, expected }) => {
    const motion = `/machines/${machine}/axes/${axis}/motion`;
    return {
      code: "impossible-motion",
      place: { file, pointer: segment < 0 ? motion : `${motion}/${segment}` },
      found,
      expected,
    };
  });
}
