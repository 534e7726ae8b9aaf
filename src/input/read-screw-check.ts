import { missing } from "../faults/wordings.ts";
import { SCREW_ENDS, type ScrewCheck } from "../machine/mechanism.ts";
import { addFault, has, type Node, placeOf } from "./node.ts";
import { optionalChoice, requiredQuantity } from "./values.ts";

const KEYS = ["screw_diameter", "length", "ends"] as const;

/** What the critical speed of a screw is worked out from: all three keys, or none of them. */
export function readScrewCheck(node: Node): { readonly check?: ScrewCheck } {
  const absent = KEYS.filter((key) => !has(node, key));
  if (absent.length === KEYS.length) return {};
  for (const key of absent) {
    addFault(node, missing(placeOf(node, key), "no such key", `"${key}", which goes with the screw's critical speed`));
  }
  const length = { quantity: "length", range: "positive" } as const;
  return {
    check: {
      diameter: requiredQuantity(node, "screw_diameter", length),
      length: requiredQuantity(node, "length", length),
      ends: optionalChoice(node, "ends", SCREW_ENDS) ?? "fixed-free",
    },
  };
}
