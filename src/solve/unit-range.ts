import type { Core } from "./core.ts";
import type { CountedPart } from "./counted-part.ts";
import { ANY_UNITS, type Domain, hasLink, keepColumns } from "./domain.ts";

/** Units of a counted part that every answer of a domain buys, and that some could. In steps of the part's `unit`. */
export function unitsIn(
  core: Core,
  domain: Domain,
  part: number,
  counted: CountedPart,
): [forced: number, possible: number] {
  const links = core.partLinks[part]!;
  let [forced, possible] = [0, 0];
  for (const [at, { units }] of counted.pools.entries()) {
    let [sure, open] = [0, 0];
    for (const [l, uses] of counted.uses.entries()) {
      const left = domain.linkCount[links[l]!]!;
      if (left > 0) open += uses[at]!;
      if (left > 0 && left === domain.alive[core.linkGroup[links[l]!]!]!.length) sure += uses[at]!;
    }
    forced += units * Math.ceil(sure / counted.channels);
    possible += units * Math.ceil(open / counted.channels);
  }
  return [forced, possible];
}

/**
 * Removes what the limits on units exclude: picks of a part that would bring in too many, and picks without it where too
 * few would be left. Expects links to be counted.
 *
 * @returns false when there is no answer within the limits
 */
export function applyUnits(core: Core, domain: Domain): boolean {
  return core.counted.every((counted, part) => {
    const isLimited = domain.leastUnits[part]! > 0 || domain.mostUnits[part]! < ANY_UNITS;
    return counted === undefined || !isLimited || limitUnits(core, domain, part, counted);
  });
}

function limitUnits(core: Core, domain: Domain, part: number, counted: CountedPart): boolean {
  const [forced, possible] = unitsIn(core, domain, part, counted);
  const [most, least] = [domain.mostUnits[part]!, domain.leastUnits[part]!];
  if (forced > most || possible < least) return false;
  // Of shared modules, what one more use brings in hangs on the others.
  if (counted.channels > 1) return true;
  for (const [at, link] of core.partLinks[part]!.entries()) {
    const units = counted.uses[at]![0]!;
    const group = core.linkGroup[link]!;
    const left = domain.linkCount[link]!;
    if (left === 0 || left === domain.alive[group]!.length) continue;
    if (forced + units > most) keepColumns(domain, group, (column) => !hasLink(core, column, link));
    else if (possible - units < least) keepColumns(domain, group, (column) => hasLink(core, column, link));
  }
  return true;
}
