import type { Certificate } from "../solve/outcome.ts";

/**
 * The proof as a JSON file: for each way of braking, branches with their multipliers and bounds.
 *
 * What is infinite is null: a limit that excludes every answer, a bound where nothing is left or nothing was worked out.
 */
export function certificateText(certificates: readonly Certificate[]): string {
  return `${JSON.stringify({ format: "fewframe-certificate/1", proofs: certificates }, undefined, 1)}\n`;
}
