import { entryOf } from "../faults/entry-of.ts";
import type { Limit, LimitId } from "../machine/limit.ts";
import { type Breach, type Leniency, STRICT } from "./leniency.ts";
import {
  holdsAt,
  judgedAt,
  type PartUse,
  type Sourced,
  type Sourcing,
  sourcesOf,
  type UsePlace,
  usesOf,
  type Worked,
} from "./sourcing.ts";

type AxisPlace = Extract<UsePlace, { kind: "axis" }>;

/** True where every part number that needs a substitute has one, and no axis is let pass more than it may break in all. */
export function isSourced(sourcing: Sourcing, worked: Worked, leniency: Leniency): boolean {
  if (sourcing.kinds.size === 0) return true;
  const hasAll = sourcesOf(sourcing, worked, leniency).every(({ substitute }) => substitute !== undefined);
  return hasAll && overdrawn(sourcing, worked, leniency).length === 0;
}

/** Axes that may break limits and, with their substitutes together, break more than that. */
export function overdrawn(sourcing: Sourcing, worked: Worked, leniency: Leniency): AxisPlace[] {
  if (leniency.axis === STRICT.axis || sourcing.kinds.size === 0) return [];
  const sources = sourcesOf(sourcing, worked, leniency);
  return worked.evaluated.machines.flatMap(({ axes }, machine) =>
    axes.flatMap(({ judgement }, axis): AxisPlace[] => {
      const place = { kind: "axis" as const, machine, axis };
      const breaks = ({ part, places, substitute: rival }: Sourced): boolean =>
        places.some((one) => isAt(one, place)) &&
        (rival === undefined || judgedAt(sourcing, worked, { part, rival, place })?.failed.length !== 0);
      if (judgement.failed.length === 0 && !sources.some(breaks)) return [];
      return breachAt({ sourcing, worked, leniency }, place) === undefined ? [place] : [];
    }),
  );
}

/** An answer under a court that lets some limits be broken. */
export interface LenientCase {
  readonly sourcing: Sourcing;
  readonly worked: Worked;
  readonly leniency: Leniency;
}

/**
 * What an axis breaks in all: its pick, and a substitute for each of its parts that needs one. Of the choices that are let
 * pass the one that breaks fewest limits, then least; undefined where none is.
 */
export function breachAt(given: LenientCase, { machine, axis }: { machine: number; axis: number }): Breach | undefined {
  const { judgement } = entryOf(entryOf(given.worked.evaluated.machines, machine).axes, axis);
  const place = { kind: "axis" as const, machine, axis };
  const uses = usesOf(given.sourcing, given.worked.answer).filter(({ places }) =>
    places.some((one) => isAt(one, place)),
  );
  const all = uses.reduce<readonly Breach[]>(
    (before, use) => {
      const own = breachesOf(given, use, place);
      return lightest(before.flatMap((one) => own.map((other) => together(one, other))));
    },
    [judgement],
  );
  return all.find((breach) => breach.failed.length === 0 || given.leniency.axis(machine, axis, breach));
}

function isAt(one: UsePlace, place: AxisPlace): boolean {
  return one.kind === "axis" && one.machine === place.machine && one.axis === place.axis;
}

/** What an axis breaks with each rival of one of its parts that holds in all other places of the part. */
function breachesOf(
  { sourcing, worked, leniency }: LenientCase,
  { part, places }: PartUse,
  place: AxisPlace,
): Breach[] {
  const others = places.filter((one) => !isAt(one, place));
  return lightest(
    sourcing.rivals(part).flatMap((rival) => {
      const judgement = judgedAt(sourcing, worked, { part, rival, place });
      const holds = (other: UsePlace): boolean => holdsAt(sourcing, worked, { part, rival, place: other, leniency });
      return judgement !== undefined && others.every(holds) ? [judgement] : [];
    }),
  );
}

/** The breaches of each set of failures that are least, those with the fewest failures first. */
function lightest(breaches: readonly Breach[]): Breach[] {
  const sorted = breaches.toSorted((a, b) => a.failed.length - b.failed.length || worstOf(a) - worstOf(b));
  const known = new Map<string, Breach>();
  for (const breach of sorted) {
    const key = breach.failed.toSorted().join(" ");
    if (!known.has(key)) known.set(key, breach);
  }
  return [...known.values()];
}

function worstOf({ failed, limits }: Breach): number {
  const broken = limits.filter(({ id }) => failed.includes(id));
  return broken.reduce((worst, { utilisation }) => Math.max(worst, utilisation ?? Number.MAX_VALUE), 0);
}

function together(one: Breach, other: Breach): Breach {
  if (one.failed.length === 0) return other.failed.length === 0 ? one : { ...other, limits: worse(one, other) };
  return { failed: [...new Set([...one.failed, ...other.failed])], limits: worse(one, other) };
}

/** Each limit as it is nearer to failing. */
function worse(one: Breach, other: Breach): Limit[] {
  const found = new Map<LimitId, Limit>();
  for (const limit of [...one.limits, ...other.limits]) {
    const before = found.get(limit.id);
    if (before === undefined || useOf(limit) > useOf(before)) found.set(limit.id, limit);
  }
  return [...found.values()];
}

function useOf({ utilisation }: Limit): number {
  return utilisation ?? Number.POSITIVE_INFINITY;
}
