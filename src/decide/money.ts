import { type AnyPart, PART_KINDS, type PartKind, partKey } from "../machine/catalogue.ts";
import type { Limit, LimitId, LimitUnit } from "../machine/limit.ts";
import type { Caps, Weights } from "../machine/problem.ts";
import { PASS_TOLERANCE, utilisationOf } from "../physics/limits/judgement.ts";
import { type OrderAnswer, ridingMass } from "./answer.ts";
import type { EvaluatedMachine } from "./evaluate.ts";
import type { Setup } from "./setup.ts";

/** Objective of an answer in whole cents, term by term, and what the caps say. */
export interface OrderMoney {
  readonly total: number;
  readonly terms: MoneyTerms;
  readonly lines: readonly OrderLine[];
  readonly distinct: DistinctCounts;
  readonly totals: readonly MachineTotals[];
  /** Caps on counts: the order. */
  readonly caps: readonly Limit[];
  readonly failed: readonly LimitId[];
}

export interface MoneyTerms {
  readonly purchase: number;
  readonly energy: number;
  readonly variety: number;
  readonly mass: number;
  readonly cabinetWidth: number;
  readonly leadTime: number;
}

/** A part number of the order. */
export interface OrderLine {
  readonly part: AnyPart;
  readonly quantity: number;
  /** [cent] */
  readonly unitPrice: number;
  readonly usedBy: readonly string[];
}

export interface DistinctCounts {
  readonly motors: number;
  readonly frames: number;
  readonly gearboxes: number;
  readonly drives: number;
  readonly makers: number;
  readonly parts: number;
}

/** One machine: purchase [cent], mass [kg], cabinet width [m], mean supply input [W]; with its caps. */
export interface MachineTotals {
  readonly price: number;
  readonly mass: number;
  readonly cabinetWidth: number;
  readonly input: number;
  readonly limits: readonly Limit[];
}

/** Works out the objective: each term rounded once to whole cents. Source: definition of the order's cost. */
export function orderMoney(setup: Setup, answer: OrderAnswer, machines: readonly EvaluatedMachine[]): OrderMoney {
  const { caps } = setup.problem;
  const lines = orderLines(setup, answer, machines);
  const totals = setup.machines.map((_, m) => machineTotals({ setup, answer, machines, lines }, m));
  const distinct = distinctOf(lines);
  const terms = termsOf(setup, lines, totals);
  const limits = capLimits(caps, distinct, lines);
  const failed = [...limits, ...totals.flatMap((total) => total.limits)]
    .filter(({ utilisation }) => utilisation === null || utilisation > 1 + PASS_TOLERANCE)
    .map(({ id }) => id);
  const total = Object.values(terms).reduce((all, term) => all + term, 0);
  return { total, terms, lines, distinct, totals, caps: limits, failed: [...failed, ...unknownLeadTime(caps, lines)] };
}

/** Unit price at a total quantity: the highest step not above it [cent]. */
function unitPriceAt({ prices }: AnyPart, quantity: number): number {
  return prices.findLast(({ from }) => from <= quantity)?.price ?? prices[0]?.price ?? 0;
}

function kindOrder(part: AnyPart): number {
  return PART_KINDS.indexOf(part.kind);
}

function orderLines(setup: Setup, answer: OrderAnswer, machines: readonly EvaluatedMachine[]): OrderLine[] {
  const lines = new Map<string, { part: AnyPart; quantity: number; usedBy: string[] }>();
  const add = (part: AnyPart | undefined, quantity: number, user: string): void => {
    if (part === undefined) return;
    const key = `${part.kind} ${partKey(part)}`;
    const line = lines.get(key) ?? { part, quantity: 0, usedBy: [] };
    lines.set(key, line);
    line.quantity += quantity;
    line.usedBy.push(user);
  };
  setup.machines.forEach(({ machine }, m) => {
    const own = answer.machines[m];
    const place = setup.machines.length > 1 ? `${machine.id}/` : "";
    own?.axes.forEach(({ motor, gearbox, inductor }, a) => {
      for (const part of [motor, gearbox, inductor]) add(part, machine.quantity, place + machine.axes[a]?.id);
    });
    for (const { drive, axes } of machines[m]?.modules ?? []) {
      add(drive, machine.quantity, place + axes.map((a) => machine.axes[a]?.id).join("+"));
    }
    own?.buses.forEach(({ supply, resistor }, b) => {
      for (const part of [supply, resistor]) add(part, machine.quantity, place + machine.buses[b]?.id);
    });
  });
  return [...lines.values()]
    .map((line) => ({ ...line, unitPrice: unitPriceAt(line.part, line.quantity) }))
    .toSorted((a, b) => kindOrder(a.part) - kindOrder(b.part) || (partKey(a.part) < partKey(b.part) ? -1 : 1));
}

interface MachineMoney {
  readonly setup: Setup;
  readonly answer: OrderAnswer;
  readonly machines: readonly EvaluatedMachine[];
  readonly lines: readonly OrderLine[];
}

function machineTotals({ setup, answer, machines, lines }: MachineMoney, m: number): MachineTotals {
  const own = answer.machines[m];
  const evaluated = machines[m];
  const priceOf = new Map(lines.map(({ part, unitPrice }) => [`${part.kind} ${partKey(part)}`, unitPrice]));
  const price = (part: AnyPart | undefined): number =>
    part === undefined ? 0 : (priceOf.get(`${part.kind} ${partKey(part)}`) ?? 0);
  const modules = evaluated?.modules ?? [];
  const picked = own?.axes ?? [];
  const options = own?.buses ?? [];
  const totals = {
    price:
      sum(picked, (p) => price(p.motor) + price(p.gearbox) + price(p.inductor)) +
      sum(modules, ({ drive }) => price(drive)) +
      sum(options, ({ supply, resistor }) => price(supply) + price(resistor)),
    mass: sum(picked, ridingMass),
    cabinetWidth: sum(modules, ({ drive }) => drive.width) + sum(options, ({ supply }) => supply?.width ?? 0),
    input: sum(evaluated?.buses ?? [], ({ input }) => input),
  };
  return { ...totals, limits: machineLimits(setup.problem.caps, totals) };
}

function sum<T>(items: readonly T[], value: (item: T) => number): number {
  return items.reduce((total, item) => total + value(item), 0);
}

function machineLimits(caps: Caps, totals: { price: number; mass: number; cabinetWidth: number }): Limit[] {
  return [
    cap("machine.cabinet_width", totals.cabinetWidth, { allowed: caps.cabinetWidth, unit: "m" }),
    cap("machine.mass", totals.mass, { allowed: caps.mass, unit: "kg" }),
    cap("machine.price", totals.price, { allowed: caps.price, unit: "cent" }),
  ].flat();
}

function cap(
  id: LimitId,
  demand: number,
  { allowed, unit }: { allowed: number | undefined; unit: LimitUnit },
): Limit[] {
  return allowed === undefined ? [] : [{ id, demand, allowed, unit, utilisation: utilisationOf(demand, allowed) }];
}

function capLimits(caps: Caps, distinct: DistinctCounts, lines: readonly OrderLine[]): Limit[] {
  const longest = Math.max(0, ...lines.map(({ part }) => part.leadTime ?? 0));
  return [
    cap("machine.lead_time", longest, { allowed: caps.leadTime, unit: "day" }),
    cap("caps.motors", distinct.motors, { allowed: caps.motors, unit: "count" }),
    cap("caps.frames", distinct.frames, { allowed: caps.frames, unit: "count" }),
    cap("caps.gearboxes", distinct.gearboxes, { allowed: caps.gearboxes, unit: "count" }),
    cap("caps.drives", distinct.drives, { allowed: caps.drives, unit: "count" }),
    cap("caps.makers", distinct.makers, { allowed: caps.makers, unit: "count" }),
    cap("caps.parts", distinct.parts, { allowed: caps.parts, unit: "count" }),
  ].flat();
}

/** A cap on lead time is a question to every part: one that does not say fails. */
function unknownLeadTime(caps: Caps, lines: readonly OrderLine[]): LimitId[] {
  const silent = caps.leadTime !== undefined && lines.some(({ part }) => part.leadTime === undefined);
  return silent ? ["machine.lead_time"] : [];
}

function distinctOf(lines: readonly OrderLine[]): DistinctCounts {
  const count = (kind: PartKind): number => lines.filter(({ part }) => part.kind === kind).length;
  const frames = lines.flatMap(({ part }) => (part.kind === "motor" ? [part.frame.trim()] : []));
  return {
    motors: count("motor"),
    frames: new Set(frames).size,
    gearboxes: count("gearbox"),
    drives: count("drive"),
    makers: new Set(lines.map(({ part }) => part.maker)).size,
    parts: lines.length,
  };
}

function termsOf(
  { problem: { weights }, machines }: Setup,
  lines: readonly OrderLine[],
  totals: readonly MachineTotals[],
): MoneyTerms {
  const order = (value: (total: MachineTotals) => number): number =>
    totals.reduce((all, total, m) => all + value(total) * (machines[m]?.machine.quantity ?? 1), 0);
  const longest = Math.max(0, ...lines.map(({ part }) => part.leadTime ?? 0));
  return {
    purchase: Math.round(sum(lines, ({ quantity, unitPrice }) => quantity * unitPrice) * weights.purchase),
    energy: Math.round(order(({ input }) => input) * weights.energy.price * weights.energy.duration),
    variety: Math.round(varietyOf(weights, lines)),
    mass: Math.round(order(({ mass }) => mass) * weights.mass),
    cabinetWidth: Math.round(order(({ cabinetWidth }) => cabinetWidth) * weights.cabinetWidth),
    leadTime: Math.round(longest * weights.leadTime),
  };
}

function varietyOf({ variety }: Weights, lines: readonly OrderLine[]): number {
  const { frames, makers } = distinctOf(lines);
  return sum(lines, ({ part }) => variety[part.kind]) + frames * variety.frame + makers * variety.maker;
}
