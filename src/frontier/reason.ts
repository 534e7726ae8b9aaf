import { FRONTIER_KINDS, type FrontierKind } from "../machine/frontier.ts";
import { FRONTIER_NOUNS } from "../report/frontier-words.ts";
import { listed } from "../report/layout.ts";
import type { Demand } from "./demands.ts";
import { type CountCaps, fewestOf } from "./point.ts";

/** Why no order stays under a cap: demands that no two can share, more than the cap allows. */
export function apartReason(kind: FrontierKind, demands: readonly Demand[]): string {
  const places = demands.map(({ place }) => place);
  const whats = demands.map(({ what }) => what);
  const [first = ""] = places;
  if (demands.length === 1) return `${first} cannot do without a ${FRONTIER_NOUNS[kind][0]}`;
  if (kind === "parts") return `${whats.length} part numbers are needed at least: ${listed(whats)} are all different`;
  if (kind === "makers") return `${noTwo(whats)} come from the same maker`;
  return `${noTwo(places)} have ${kind === "frames" ? "motors of the same frame" : `the same ${FRONTIER_NOUNS[kind][0]}`}`;
}

/** Why no order stays under a cap: so few do not serve every place, whatever else is picked. */
export function coverReason(kind: FrontierKind, cap: number): string {
  const [one, many] = FRONTIER_NOUNS[kind];
  return cap === 1
    ? `no one ${one} passes on every axis, whatever else is picked`
    : `no ${cap} ${many} between them pass on every axis, whatever else is picked`;
}

/** Why there is no order where the search went through all there is. */
export function searchedReason(caps: CountCaps): string {
  const isFree = Object.keys(caps).length === 0;
  if (isFree) return "no order from these catalogues meets every limit, whatever it holds";
  return `no choice of ${capWords(caps)} meets every limit of the axes, the supplies and the order together`;
}

/** Caps in words, such as `at most 2 motors and 1 gearbox`. */
export function capWords(caps: CountCaps): string {
  const parts = FRONTIER_KINDS.flatMap((kind) => {
    const cap = caps[kind];
    return cap === undefined ? [] : [countWords(kind, cap)];
  });
  return parts.length === 0 ? "any number of parts" : listed(parts);
}

/** Why there is no order at all: axes that nothing passes on. */
export function emptyReason(places: readonly string[]): string {
  return `no candidate passes on ${listed(places)}`;
}

function countWords(kind: FrontierKind, cap: number): string {
  const [one, many] = FRONTIER_NOUNS[kind];
  const most = cap === fewestOf(kind) ? "" : "at most ";
  return `${most}${cap} ${cap === 1 ? one : many}`;
}

function noTwo(items: readonly string[]): string {
  return items.length === 2 ? `${listed(items)} cannot` : `no two of ${listed(items)} can`;
}
