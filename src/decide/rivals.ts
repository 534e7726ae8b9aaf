import { type AnyPart, type Catalogue, type Drive, PART_KINDS, partKey } from "../machine/catalogue.ts";
import { firstPrice } from "../model/part-table.ts";
import type { PickParts } from "../physics/limits/pick-duty.ts";
import type { SupplyOption } from "./supply-options.ts";

/** Parts of other makers that mount where a part does, cheapest list price first, then by maker and part. */
export type RivalsOf = (part: AnyPart) => readonly AnyPart[];

/** Rivals from some catalogues, each list made once. */
export function rivalsOf(catalogue: Catalogue): RivalsOf {
  const all = [
    ...catalogue.motors,
    ...catalogue.gearboxes,
    ...catalogue.drives,
    ...catalogue.supplies,
    ...catalogue.resistors,
    ...catalogue.inductors,
  ];
  const byKind = new Map(PART_KINDS.map((kind) => [kind, all.filter((part) => part.kind === kind).toSorted(byPrice)]));
  const known = new Map<AnyPart, readonly AnyPart[]>();
  return (part) => {
    const before = known.get(part);
    if (before !== undefined) return before;
    const found = (byKind.get(part.kind) ?? []).filter((other) => isRival(part, other));
    known.set(part, found);
    return found;
  };
}

function byPrice(one: AnyPart, other: AnyPart): number {
  const apart = firstPrice(one.prices) - firstPrice(other.prices);
  return apart === 0 ? Number(partKey(one) > partKey(other)) - Number(partKey(one) < partKey(other)) : apart;
}

/** True for a part of another maker that mounts in the same place: equal frame texts, as many channels or more. */
function isRival(part: AnyPart, other: AnyPart): boolean {
  return part.maker !== other.maker && mountsAlike(part, other);
}

function mountsAlike(part: AnyPart, other: AnyPart): boolean {
  if (part.kind === "motor" && other.kind === "motor") return part.frame.trim() === other.frame.trim();
  if (part.kind === "gearbox" && other.kind === "gearbox")
    return part.frame.trim() === other.frame.trim() && part.style === other.style;
  if (part.kind === "drive" && other.kind === "drive") return other.channels >= part.channels;
  return part.kind === other.kind;
}

/** The same pick with another part in the place of its own of that kind. */
export function withPart({ motor, gearbox, drive, inductor }: PickParts, part: AnyPart): PickParts {
  return {
    motor: part.kind === "motor" ? part : motor,
    gearbox: part.kind === "gearbox" ? part : gearbox,
    drive: part.kind === "drive" ? part : drive,
    inductor: part.kind === "inductor" ? part : inductor,
  };
}

/** Ways to feed a bus with another supply and the same resistor, or with the same supply and another resistor. */
export function rivalOptions(
  alternatives: readonly SupplyOption[],
  { supply, resistor }: SupplyOption,
  rival: AnyPart,
): readonly SupplyOption[] {
  const wanted = rival.kind === "supply" ? { supply: rival, resistor } : { supply, resistor: rival };
  return alternatives.filter((option) => option.supply === wanted.supply && option.resistor === wanted.resistor);
}

/** True where a drive goes with the supply of its bus: no other family, and it stands the chopper as far as the one picked does. */
export function goesWithSupply(drive: Drive, rival: Drive, { supply }: SupplyOption): boolean {
  const [own, theirs] = [supply?.busFamily, rival.busFamily];
  const isOfFamily = own === undefined || theirs === undefined || own === theirs;
  return isOfFamily && rival.busMax >= Math.min(drive.busMax, supply?.chopperVoltage ?? 0);
}
