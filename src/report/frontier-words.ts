import type { FrontierDocument, FrontierKind, FrontierPoint } from "../machine/frontier.ts";
import { counted, figure, moneyWithCents, sharePercent } from "./figures.ts";

/** One of each kind and several, as a builder says it. */
export const FRONTIER_NOUNS: Readonly<Record<FrontierKind, readonly [one: string, many: string]>> = {
  motors: ["motor", "motors"],
  frames: ["motor frame", "motor frames"],
  gearboxes: ["gearbox", "gearboxes"],
  drives: ["drive", "drives"],
  makers: ["maker", "makers"],
  parts: ["part number", "part numbers"],
};

/** `3 motors` */
export function countText(kind: FrontierKind, count: number): string {
  return counted(count, ...FRONTIER_NOUNS[kind]);
}

/** `3 different motors` */
export function differentText(kind: FrontierKind, count: number): string {
  const [one, many] = FRONTIER_NOUNS[kind];
  return counted(count, `different ${one}`, `different ${many}`);
}

/** `motors` */
export function kindText(kind: FrontierKind): string {
  return FRONTIER_NOUNS[kind][1];
}

/** How many of the swept kind a point holds; without an order, how many it may. */
export function heldBy({ distinct, cap }: FrontierPoint, kind: FrontierKind): number | null {
  return distinct === null ? cap : distinct[kind];
}

/** Money in a column: cents as long as there is room. */
export function columnMoney(value: number): string {
  return Math.abs(value) < 1e7 ? moneyWithCents(value) : figure(Math.round(value), 15);
}

/** What is known of a point, in a word or two. */
export function stateWords({ status, gap }: FrontierPoint): string {
  if (status === "optimal") return "proven";
  if (status === "infeasible") return "none";
  return status === "unknown" ? "not found" : `gap ${sharePercent(gap ?? 0)}`;
}

/** Everything of a point's cost but the charges for variety; undefined without an order. */
export function beforeVariety({ objective }: FrontierPoint): number | undefined {
  return objective === null ? undefined : objective.total - objective.terms.variety;
}

/** What the problem charges for the variety of a point's order, whether it was counted or not. */
export function varietyCharge({ charges }: FrontierDocument, { parts, distinct }: FrontierPoint): number {
  const ofParts = parts.reduce((sum, { kind }) => sum + charges[kind], 0);
  return ofParts + (distinct?.frames ?? 0) * charges.frame + (distinct?.makers ?? 0) * charges.maker;
}
