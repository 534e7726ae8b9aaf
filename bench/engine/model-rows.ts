import type { SelectionModel } from "../../src/model/selection.ts";
import { type Size, syntheticModel } from "../synthetic/model.ts";

interface ModelSize {
  readonly seed: number;
  readonly size: Omit<Size, "isCapped" | "hasVariety" | "tight">;
  /** What the own solver should need at most [s]. */
  readonly goal: number;
}

/** By name: seeds whose orders come near 525, 1,250 and 2,400 candidates an axis. */
export const MODEL_SIZES: Readonly<Record<string, ModelSize>> = {
  S3: { seed: 4, size: { axes: 12, motors: 50, gearboxes: 10, drives: 16, instants: 20 }, goal: 0.3 },
  S4: { seed: 5, size: { axes: 20, motors: 66, gearboxes: 18, drives: 19, instants: 20 }, goal: 1 },
  S5: { seed: 5, size: { axes: 40, motors: 77, gearboxes: 22, drives: 24, instants: 20 }, goal: 5 },
};

/** By name: what an order asks besides. */
export const MODEL_VARIANTS: Readonly<Record<string, Pick<Size, "isCapped" | "hasVariety" | "tight">>> = {
  plain: { hasVariety: false, isCapped: false },
  caps: { hasVariety: false, isCapped: true },
  variety: { hasVariety: true, isCapped: false },
  "variety+caps": { hasVariety: true, isCapped: true },
  cabinet: { hasVariety: true, isCapped: true, tight: "cabinet" },
  supply: { hasVariety: true, isCapped: true, tight: "supply" },
};

/** The order of a size and a variant. */
export function modelOf(size: string, variant: string): SelectionModel {
  const [found, asked] = [MODEL_SIZES[size], MODEL_VARIANTS[variant]];
  if (found === undefined || asked === undefined) throw new Error(`no model ${size} ${variant}`);
  return syntheticModel(found.seed, { ...found.size, ...asked });
}
