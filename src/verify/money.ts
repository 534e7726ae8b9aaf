import type { AnyPart } from "../machine/catalogue.ts";
import type { LimitId } from "../machine/limit.ts";
import type { Problem, Weights } from "../machine/problem.ts";
import { type MachinePick, modulesOn, ridingMass } from "./answer.ts";
import { type Check, check } from "./evaluate-pick.ts";

/** The objective of an answer [cent], each term rounded once. */
export interface OrderMoney {
  readonly total: number;
  readonly terms: OrderTerms;
  /** Different part numbers, and the mass of all motors and gearboxes [kg]: what decides ties. */
  readonly partCount: number;
  readonly mass: number;
  /** By machine. */
  readonly totals: readonly MachineSums[];
  /** Caps of each machine, and of the order. */
  readonly machineCaps: readonly (readonly Check[])[];
  readonly orderCaps: readonly Check[];
  readonly failed: readonly string[];
}

export interface OrderTerms {
  readonly purchase: number;
  readonly energy: number;
  readonly variety: number;
  readonly mass: number;
  readonly cabinetWidth: number;
  readonly leadTime: number;
}

/** One machine: purchase [cent], mass of motors and gearboxes [kg], cabinet width [m], paid mean input [W]. */
export interface MachineSums {
  readonly price: number;
  readonly mass: number;
  readonly width: number;
  readonly input: number;
}

/** A part number of the order and how many are bought. */
interface Line {
  readonly part: AnyPart;
  readonly count: number;
}

const keyOf = (part: AnyPart): string => `${part.kind} ${part.maker} / ${part.part}`;

/** Unit price at a quantity: the highest step that is reached. */
function priceAt(part: AnyPart, quantity: number): number {
  let price = part.prices[0]?.price ?? 0;
  for (const step of part.prices) if (step.from <= quantity) price = step.price;
  return price;
}

/** Everything bought for one machine, as often as it is needed. */
function boughtFor(problem: Problem, m: number, { axes, buses }: MachinePick): AnyPart[] {
  const machine = problem.machines[m];
  if (machine === undefined) return [];
  return [
    ...axes.flatMap(({ motor, gearbox, inductor }) => [motor, gearbox, inductor]),
    ...machine.buses.flatMap((bus) => modulesOn(machine, bus, axes)),
    ...buses.flatMap(({ supply, resistor }) => [supply, resistor]),
  ].filter((part) => part !== null);
}

/**
 * Money, counts and caps of an answer.
 *
 * @param inputs - mean supply input of each machine that is paid for [W]
 */
export function moneyOf(problem: Problem, answer: readonly MachinePick[], inputs: readonly number[]): OrderMoney {
  const { caps, machines } = problem;
  const bought = answer.map((pick, m) => boughtFor(problem, m, pick));
  const lines = linesOf(problem, bought);
  const totals = answer.map((pick, m) => sumsOf(pick, bought[m] ?? [], lines, inputs[m] ?? 0));
  const order = (value: (sums: MachineSums) => number): number =>
    totals.reduce((sum, own, m) => sum + (machines[m]?.quantity ?? 1) * value(own), 0);
  const terms = termsOf(problem.weights, lines, order);
  const machineCaps = totals.map(({ price, mass, width }) => [
    ...cap("machine.cabinet_width", width, caps.cabinetWidth),
    ...cap("machine.mass", mass, caps.mass),
    ...cap("machine.price", price, caps.price),
  ]);
  const orderCaps = orderChecks(problem, lines);
  const silent = caps.leadTime !== undefined && lines.some(({ part }) => part.leadTime === undefined);
  const failed = [...machineCaps.flat(), ...orderCaps].filter(({ passes }) => !passes).map(({ id }) => id);
  return {
    total: Object.values(terms).reduce((sum, term) => sum + term, 0),
    terms,
    partCount: lines.length,
    mass: order(({ mass }) => mass),
    totals,
    machineCaps,
    orderCaps,
    failed: silent ? [...failed, "machine.lead_time"] : failed,
  };
}

function linesOf({ machines }: Problem, bought: readonly (readonly AnyPart[])[]): Line[] {
  const units = new Map<string, { part: AnyPart; count: number }>();
  for (const [m, parts] of bought.entries()) {
    for (const part of parts) {
      const key = keyOf(part);
      const entry = units.get(key) ?? { part, count: 0 };
      entry.count += machines[m]?.quantity ?? 1;
      units.set(key, entry);
    }
  }
  return [...units.values()];
}

function sumsOf(
  { axes, buses }: MachinePick,
  bought: readonly AnyPart[],
  lines: readonly Line[],
  input: number,
): MachineSums {
  const counts = new Map(lines.map(({ part, count }) => [keyOf(part), count]));
  const supplies = buses.flatMap(({ supply }) => (supply === null ? [] : [supply.width]));
  const drives = bought.flatMap((part) => (part.kind === "drive" ? [part.width] : []));
  return {
    price: bought.reduce((sum, part) => sum + priceAt(part, counts.get(keyOf(part)) ?? 0), 0),
    mass: axes.reduce((sum, pick) => sum + ridingMass(pick), 0),
    width: [...drives, ...supplies].reduce((sum, w) => sum + w, 0),
    input,
  };
}

const distinct = (lines: readonly Line[], kind: AnyPart["kind"]): number =>
  lines.filter(({ part }) => part.kind === kind).length;
const frameCount = (lines: readonly Line[]): number =>
  new Set(lines.flatMap(({ part }) => (part.kind === "motor" ? [part.frame.trim()] : []))).size;
const makerCount = (lines: readonly Line[]): number => new Set(lines.map(({ part }) => part.maker)).size;
const longestTime = (lines: readonly Line[]): number => Math.max(0, ...lines.map(({ part }) => part.leadTime ?? 0));

function termsOf(
  weights: Weights,
  lines: readonly Line[],
  order: (value: (sums: MachineSums) => number) => number,
): OrderTerms {
  const { variety, energy } = weights;
  const purchase = lines.reduce((sum, { part, count }) => sum + count * priceAt(part, count), 0);
  const kinds = lines.reduce((sum, { part }) => sum + variety[part.kind], 0);
  return {
    purchase: Math.round(purchase * weights.purchase),
    energy: Math.round(order(({ input }) => input) * energy.price * energy.duration),
    variety: Math.round(kinds + frameCount(lines) * variety.frame + makerCount(lines) * variety.maker),
    mass: Math.round(order(({ mass }) => mass) * weights.mass),
    cabinetWidth: Math.round(order(({ width }) => width) * weights.cabinetWidth),
    leadTime: Math.round(longestTime(lines) * weights.leadTime),
  };
}

function cap(id: LimitId, value: number, allowed: number | undefined): Check[] {
  return allowed === undefined ? [] : [check(id, value, allowed, undefined)];
}

function orderChecks({ caps }: Problem, lines: readonly Line[]): Check[] {
  return [
    ...cap("machine.lead_time", longestTime(lines), caps.leadTime),
    ...cap("caps.motors", distinct(lines, "motor"), caps.motors),
    ...cap("caps.frames", frameCount(lines), caps.frames),
    ...cap("caps.gearboxes", distinct(lines, "gearbox"), caps.gearboxes),
    ...cap("caps.drives", distinct(lines, "drive"), caps.drives),
    ...cap("caps.makers", makerCount(lines), caps.makers),
    ...cap("caps.parts", lines.length, caps.parts),
  ];
}
