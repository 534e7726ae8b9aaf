import type { JudgedAxes } from "../decide/field.ts";
import type { Setup } from "../decide/setup.ts";
import { partKey } from "../machine/catalogue.ts";
import { FRONTIER_KINDS, type FrontierKind } from "../machine/frontier.ts";
import { judgedWith, type Useful, useful } from "./covering.ts";
import { apartDemands, type Demand, demandsOf } from "./demands.ts";
import type { CountCaps } from "./point.ts";
import { apartReason, coverReason, searchedReason } from "./reason.ts";

/** Candidates of the axes that an order under some caps can hold, in parts that no order needs together; or why there is none. */
export type Fields = { readonly fields: readonly JudgedAxes[] } | { readonly none: string };

/** A question is split by the one thing of a kind that an order may hold where there are no more of them than this. */
const MOST_SPLIT = 120;

/**
 * Lets go of candidates, cap by cap, until no cap lets go of more: what fewer candidates leave an axis is what the other kinds
 * must serve. Where a kind may be there only once, the question falls apart by which one it is.
 */
export function fieldsUnder(setup: Setup, judged: JudgedAxes, caps: CountCaps): Fields {
  const whole = narrowed(setup, judged, caps);
  if ("none" in whole) return whole;
  const split = splitOf(setup, whole.judged, caps);
  if (split === undefined) return { fields: [whole.judged] };
  const fields = split.map((thing) => narrowed(setup, only(setup, whole.judged, thing), caps));
  const left = fields.flatMap((field) => ("none" in field ? [] : [field.judged]));
  // Where most is left an order is most likely: it then serves as a limit for the others.
  const byRoom = left.toSorted((a, b) => pairsOf(b) - pairsOf(a));
  return left.length > 0 ? { fields: byRoom } : { none: searchedReason(caps) };
}

type Narrowed = { readonly judged: JudgedAxes } | { readonly none: string };

function narrowed(setup: Setup, all: JudgedAxes, caps: CountCaps): Narrowed {
  let judged = all;
  for (let size = -1; size !== pairsOf(judged); ) {
    size = pairsOf(judged);
    for (const kind of FRONTIER_KINDS) {
      const cap = caps[kind];
      if (cap === undefined) continue;
      const found = cappedBy(setup, judged, { kind, cap });
      // A cap rules every order out by itself only where nothing was let go before it was asked.
      if ("none" in found) return judged === all ? found : { none: searchedReason(caps) };
      ({ judged } = found);
    }
  }
  return { judged };
}

function cappedBy(
  setup: Setup,
  judged: JudgedAxes,
  { kind, cap }: { readonly kind: FrontierKind; readonly cap: number },
): Narrowed {
  const own = demandsOf(setup, judged, kind);
  const apart = apartDemands(own);
  if (apart.length > cap) return { none: apartReason(kind, apart.slice(0, cap + 1)) };
  const kept = useful(own, cap);
  if (kept === undefined) return { judged };
  if (own.length > 0 && kept.among.size === 0) return { none: coverReason(kind, cap) };
  return { judged: judgedWith(judged, setup.catalogue, { kind, demands: own, kept }) };
}

/** Candidates left, to see whether another round lets go of more. */
function pairsOf(judged: JudgedAxes): number {
  const looks = judged.flatMap((axes) => axes.flatMap((axis) => axis.looks));
  return looks.reduce((sum, look) => sum + look.judged.pairs.length, 0);
}

/** A part of a question: one thing of a kind, and the demands that say which things there are. */
interface Split {
  readonly kind: FrontierKind;
  readonly demands: readonly Demand[];
  readonly kept: Useful;
}

/** Kinds a question is split by, the ones that take most with them first. */
const SPLIT_BY: readonly FrontierKind[] = ["motors", "frames", "gearboxes"];

/** The things of a kind of which there may be one only; undefined where no kind is so capped, or too many could be it. */
function splitOf(setup: Setup, judged: JudgedAxes, caps: CountCaps): readonly Split[] | undefined {
  for (const kind of SPLIT_BY) {
    if (caps[kind] !== 1) continue;
    const demands = demandsOf(setup, judged, kind);
    const things = demands.length > 0 ? useful(demands, 1)?.among : gearboxesIn(setup, judged);
    if (things === undefined || things.size < 2 || things.size > MOST_SPLIT) continue;
    return [...things].map((thing) => ({ kind, demands, kept: { among: new Set([thing]), others: false } }));
  }
  return undefined;
}

/** Every gearbox that a candidate has: where no axis needs one, any of them may be the one. */
function gearboxesIn({ catalogue }: Setup, judged: JudgedAxes): ReadonlySet<string> {
  const pairs = judged.flatMap((axes) => axes.flatMap(({ looks }) => looks.flatMap((look) => look.judged.pairs)));
  const used = new Set(pairs.map(({ gearbox }) => gearbox));
  return new Set([...used].flatMap((index) => catalogue.gearboxes[index] ?? []).map(partKey));
}

function only({ catalogue }: Setup, judged: JudgedAxes, { kind, demands, kept }: Split): JudgedAxes {
  return judgedWith(judged, catalogue, { kind, demands, kept });
}

/**
 * Caps that between them hold every order of at most so many part numbers, by how many of these are motors and how many
 * gearboxes: what drives and supplies there must be at least is taken off. None where that would be too many questions.
 */
export function shareOuts(setup: Setup, judged: JudgedAxes, caps: CountCaps): readonly CountCaps[] {
  const { parts, motors = Infinity, gearboxes = Infinity } = caps;
  if (parts === undefined) return [];
  const supplies = demandsOf(setup, judged, "parts").filter(({ what }) => what.startsWith("supply"));
  const others = apartDemands(demandsOf(setup, judged, "drives")).length + apartDemands(supplies).length;
  const room = parts - others;
  if (room > MOST_SHARED) return [];
  const counts = Array.from({ length: Math.max(room, 0) }, (_, k) => k + 1);
  return counts.map((count) => ({
    ...caps,
    motors: Math.min(count, motors),
    gearboxes: Math.min(room - count, gearboxes),
  }));
}

/** Motors and gearboxes together up to which part numbers are shared out. */
const MOST_SHARED = 4;
