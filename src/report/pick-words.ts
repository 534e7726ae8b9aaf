import type { PickNames } from "../machine/result.ts";
import { figure } from "./figures.ts";
import { listed, printable, TIE } from "./layout.ts";

/** `M80-3 | P80 at 7:1 | D10` */
export function pickWords(pick: PickNames): string {
  return [printable(pick.motor), gearboxWords(pick), printable(pick.drive)].join(" | ");
}

/** `P80 at 7:1`, or `no gearbox`. */
export function gearboxWords(pick: Pick<PickNames, "gearbox" | "ratio">): string {
  if (pick.gearbox === null) return `no${TIE}gearbox`;
  return `${printable(pick.gearbox)} at${TIE}${figure(pick.ratio, 5)}:1`;
}

/** What another pick has that this one has not: `motor M60-4 and gearbox P60 at 5:1`. */
export function changeWords(from: PickNames, to: PickNames): string {
  const changes: string[] = [];
  if (to.motor !== from.motor) changes.push(`motor ${printable(to.motor)}`);
  if (to.gearbox !== from.gearbox || to.ratio !== from.ratio) {
    changes.push(to.gearbox === null ? gearboxWords(to) : `gearbox ${gearboxWords(to)}`);
  }
  if (to.drive !== from.drive) changes.push(`drive ${printable(to.drive)}`);
  return changes.length === 0 ? `the same pick` : listed(changes);
}
