import type { AnyPart } from "../machine/catalogue.ts";
import type { LimitId } from "../machine/limit.ts";
import type { Caps } from "../machine/problem.ts";
import { lowestPrice } from "./part-table.ts";

/** A sum over the parts of one machine that a cap can limit. */
export interface MachineSum {
  readonly id: LimitId;
  readonly cap: keyof Caps;
  /** What one unit of a part adds; of a drive, one module. */
  readonly of: (part: AnyPart) => number;
}

/** Price counts at the lowest that each part can have: a relaxation where price steps are in play. */
export const MACHINE_SUMS: readonly MachineSum[] = [
  { id: "machine.mass", cap: "mass", of: (part) => (part.kind === "motor" || part.kind === "gearbox" ? part.mass : 0) },
  {
    id: "machine.cabinet_width",
    cap: "cabinetWidth",
    of: (part) => (part.kind === "drive" || part.kind === "supply" ? part.width : 0),
  },
  { id: "machine.price", cap: "price", of: lowestPrice },
];

/** Whether modules of the part are counted, because channels of one serve several axes. */
export function sharesModules(part: AnyPart): boolean {
  return part.kind === "drive" && part.channels > 1;
}
