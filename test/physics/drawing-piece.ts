import type { Scalar } from "../../src/maths/scalar.ts";
import type { PowerPiece } from "../../src/physics/power/pair-power.ts";

/** A piece of power that is given, drawn without a drive's loss. */
export function drawingPiece(from: number, to: number, power: Scalar): PowerPiece {
  return {
    from,
    to,
    whole: undefined,
    power,
    read: (t, figures) => {
      figures.base = power(t);
    },
  };
}
