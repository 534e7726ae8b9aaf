import { derived, example } from "../physics/reference.ts";

/** One formula of the program against a value from outside it. */
export interface Check {
  /** Of the reference case or limit. */
  readonly id: string;
  /** The formula, in words or symbols. */
  readonly formula: string;
  readonly source: string;
  readonly published: number;
  readonly unit: string;
  readonly ours: () => number;
  /** Largest relative difference. */
  readonly tolerance: number;
  /** Test with the case in full, below test/. */
  readonly test: string;
}

/** What a case of a reference table gives: value, source and how near ours must be. */
export type Published = Pick<Check, "id" | "source" | "published" | "tolerance">;

/** "derived, closed form" at full digits; several outputs of a case may share a name, then a beginning tells which. */
export function derivedValue(id: string, output: string, beginning = "", tolerance = 1e-9): Published {
  return { id, source: "derived, closed form", published: derived(id, output, beginning), tolerance };
}

/** The answer a source prints, with a tolerance for its digits. */
export function printedValue(id: string, published: number, tolerance: number): Published {
  return { id, source: example(id).source, published, tolerance };
}

/** An answer of a worked example worked out again from its data, six decimals. */
export function recomputedValue(id: string, position = 0, tolerance = 1e-6): Published {
  const { recomputed, source } = example(id);
  const again = source.includes("worked out again") ? source : `${source}, worked out again`;
  return { id, source: again, published: recomputed[position] ?? Number.NaN, tolerance };
}

/** A hand calculation of a rule that no source gives. */
export function byHand(id: string, published: number, tolerance = 1e-9): Published {
  return { id, source: "common practice, no source; by hand", published, tolerance };
}
