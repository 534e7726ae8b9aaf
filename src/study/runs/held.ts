import { given } from "../../input/given.ts";
import { isObject } from "../../input/node.ts";
import type { Catalogue } from "../../machine/catalogue.ts";
import type { PickNames } from "../../machine/result.ts";
import { placesOf, withValue } from "../plan/places.ts";
import type { RunResult } from "./run.ts";

/** Everything an order bought, by place. */
export interface OrderPick {
  readonly axes: readonly AxisPick[];
  /** Supplies, resistors and inductors, each part once. */
  readonly others: readonly string[];
}

/** What one axis got. */
export interface AxisPick extends PickNames {
  readonly machine: string;
  readonly axis: string;
}

/** What each axis of a result got; empty where it has no answer. */
export function axisPicks(machines: RunResult["machines"]): readonly AxisPick[] {
  return machines.flatMap(({ id: machine, axes }) =>
    axes.map(({ id: axis, motor, gearbox, ratio, drive }) => ({ machine, axis, motor, gearbox, ratio, drive })),
  );
}

/** What a result bought; undefined where it has no answer. */
export function orderPick({ machines }: RunResult): OrderPick | undefined {
  if (machines.length === 0) return undefined;
  const bought = machines.flatMap(({ axes: own, buses }) => [
    ...buses.flatMap(({ supply, resistor }) => [supply, resistor]),
    ...own.map(({ inductor }) => inductor),
  ]);
  return { axes: axisPicks(machines), others: [...new Set(bought.filter((part) => part !== null))].toSorted() };
}

/** No gearbox has such a ratio: what is left is the gearless pick. */
const NO_RATIO = [1e9, 1e9];

/**
 * The problem in which nothing but the parts of a pick may be bought, each motor, gearbox and drive where it is: an order
 * under it holds them; where there is none, they break a limit. Supplies, resistors and inductors may change places among
 * those bought, and makers that use the same part number count as one. That a part has a substitute is not asked.
 */
export function holding(content: unknown, pick: OrderPick, catalogue: Catalogue): unknown {
  const axes = pick.axes.reduce((document, axis) => withAxis(document, axis), content);
  const kept = new Set(pick.others);
  const used = new Set(pick.axes.flatMap(({ motor, gearbox, drive }) => [motor, gearbox, drive]));
  const { supplies, resistors, inductors } = catalogue;
  const others = [...supplies, ...resistors, ...inductors].map(({ part }) => part);
  const parts = [...new Set([...forbiddenIn(content), ...others])].filter((part) => !kept.has(part) && !used.has(part));
  const forbidden = parts.length === 0 ? axes : withValue(axes, ["forbid", "parts"], parts);
  return isObject(forbidden) ? given({ ...forbidden, dual_source: undefined }) : forbidden;
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
