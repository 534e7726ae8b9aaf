import type { Certificate } from "../solve/outcome.ts";

/** The proof as a JSON file: for each way of braking, branches with their multipliers and bounds. */
export function certificateText(certificates: readonly Certificate[]): string {
  return `${JSON.stringify({ format: "fewframe-certificate/1", proofs: certificates }, undefined, 1)}\n`;
}
