import { isObject } from "../../input/node.ts";
import type { Catalogue } from "../../machine/catalogue.ts";
import { placesOf, withValue } from "../plan/places.ts";
import type { RunResult } from "./run.ts";

/** Everything an order bought, by place. */
export interface OrderPick {
  readonly axes: readonly AxisPick[];
  /** Supplies, resistors and inductors, each part once. */
  readonly others: readonly string[];
}

/** What one axis got. */
export interface AxisPick {
  readonly machine: string;
  readonly axis: string;
  readonly motor: string;
  readonly gearbox: string | null;
  readonly drive: string;
}

/** What a result bought; undefined where it has no answer. */
export function orderPick({ machines }: RunResult): OrderPick | undefined {
  if (machines.length === 0) return undefined;
  const axes = machines.flatMap(({ id: machine, axes: own }) =>
    own.map(({ id: axis, motor, gearbox, drive }) => ({ machine, axis, motor, gearbox, drive })),
  );
  const bought = machines.flatMap(({ axes: own, buses }) => [
    ...buses.flatMap(({ supply, resistor }) => [supply, resistor]),
    ...own.map(({ inductor }) => inductor),
  ]);
  return { axes, others: [...new Set(bought.filter((part) => part !== null))].toSorted() };
}

/** No gearbox has such a ratio: what is left is the gearless pick. */
const NO_RATIO = [1e9, 1e9];

/**
 * The problem in which nothing but a pick may be bought. An order that holds under it is the pick itself; where there is
 * none, the pick breaks a limit. That other parts could take its place is not asked.
 */
export function holding(content: unknown, pick: OrderPick, catalogue: Catalogue): unknown {
  const axes = pick.axes.reduce((document, axis) => withAxis(document, axis), content);
  const kept = new Set(pick.others);
  const used = new Set(pick.axes.flatMap(({ motor, gearbox, drive }) => [motor, gearbox, drive]));
  const { supplies, resistors, inductors } = catalogue;
  const others = [...supplies, ...resistors, ...inductors].map(({ part }) => part);
  const parts = [...new Set([...forbiddenIn(content), ...others])].filter((part) => !kept.has(part) && !used.has(part));
  const forbidden = parts.length === 0 ? axes : withValue(axes, ["forbid", "parts"], parts);
  return isObject(forbidden) && "dual_source" in forbidden
    ? withValue(forbidden, ["dual_source"], undefined)
    : forbidden;
}

function withAxis(document: unknown, { machine, axis, motor, gearbox, drive }: AxisPick): unknown {
  const places = placesOf(document, ["machines", machine, "axes", axis, "allow"], true);
  const allow = {
    motors: [motor],
    drives: [drive],
    ...(gearbox === null ? { ratios: NO_RATIO } : { gearboxes: [gearbox], gearless: false }),
  };
  return places.reduce<unknown>((changed, path) => withValue(changed, path, allow), document);
}

function forbiddenIn(content: unknown): readonly string[] {
  const forbid = isObject(content) ? content["forbid"] : undefined;
  const parts = isObject(forbid) ? forbid["parts"] : undefined;
  return Array.isArray(parts) ? parts.filter((part) => typeof part === "string") : [];
}
