import type { OrderAnswer } from "../decide/answer.ts";
import type { DecisionStatus } from "../decide/decide.ts";
import type { EvaluatedOrder } from "../decide/evaluate.ts";
import type { Sourcing } from "../decide/sourcing.ts";
import { FRONTIER_KINDS, type FrontierKind } from "../machine/frontier.ts";
import type { TieKey } from "../solve/tie-key.ts";

/** Most distinct things of each kind; absent: no cap but those of the problem. */
export type CountCaps = Readonly<Partial<Record<FrontierKind, number>>>;

/** The cheapest order under some caps, or what is known of it. */
export interface Point {
  readonly caps: CountCaps;
  readonly status: DecisionStatus;
  /** No order under these caps costs less [cent]. */
  readonly bound: number;
  /** Why there is no order. */
  readonly reason?: string;
  readonly order?: FoundOrder;
}

/** An order that stands. */
export interface FoundOrder {
  readonly answer: OrderAnswer;
  readonly evaluated: EvaluatedOrder;
  /** What the substitutes of its parts were judged with. */
  readonly sourcing: Sourcing;
  /** What decides between orders of equal cost; undefined where it was met on the way. */
  readonly tie: TieKey | undefined;
}

/** Total of a point's order; Infinity without one [cent]. */
export function totalOf({ order }: Point): number {
  return order?.evaluated.money.total ?? Number.POSITIVE_INFINITY;
}

/** How many distinct things an order holds. */
export function countOf({ evaluated }: FoundOrder, kind: FrontierKind): number {
  return evaluated.money.distinct[kind];
}

/** Whether an order stays within caps. */
export function fits(order: FoundOrder, caps: CountCaps): boolean {
  return FRONTIER_KINDS.every((kind) => countOf(order, kind) <= (caps[kind] ?? Number.POSITIVE_INFINITY));
}

/** Whether every order within the tighter caps is within the looser ones. */
export function isLooser(looser: CountCaps, tighter: CountCaps): boolean {
  return FRONTIER_KINDS.every(
    (kind) => (tighter[kind] ?? Number.POSITIVE_INFINITY) <= (looser[kind] ?? Number.POSITIVE_INFINITY),
  );
}

/** The fewest of a kind that any order can hold: only gearboxes can be left out altogether. */
export function fewestOf(kind: FrontierKind): number {
  return kind === "gearboxes" ? 0 : 1;
}
