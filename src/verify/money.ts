import type { AnyPart } from "../machine/catalogue.ts";
import type { Problem } from "../machine/problem.ts";
import { type MachinePick, modulesOn, ridingMass } from "./answer.ts";

/** The objective of an answer [cent], each term rounded once. */
export interface OrderMoney {
  readonly total: number;
  readonly terms: {
    readonly purchase: number;
    readonly energy: number;
    readonly variety: number;
    readonly mass: number;
    readonly cabinetWidth: number;
    readonly leadTime: number;
  };
  /** Different part numbers, and the mass of all motors and gearboxes [kg]: what decides ties. */
  readonly partCount: number;
  readonly mass: number;
  readonly failed: readonly string[];
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
  const { weights, caps, machines } = problem;
  const units = new Map<string, { part: AnyPart; count: number }>();
  const bought = answer.map((pick, m) => boughtFor(problem, m, pick));
  for (const [m, parts] of bought.entries()) {
    for (const part of parts) {
      const key = keyOf(part);
      const entry = units.get(key) ?? { part, count: 0 };
      entry.count += machines[m]?.quantity ?? 1;
      units.set(key, entry);
    }
  }
  const lines = [...units.values()];
  const distinct = (kind: AnyPart["kind"]): number => lines.filter(({ part }) => part.kind === kind).length;
  const frames = new Set(lines.flatMap(({ part }) => (part.kind === "motor" ? [part.frame.trim()] : []))).size;
  const makers = new Set(lines.map(({ part }) => part.maker)).size;
  const longest = Math.max(0, ...lines.map(({ part }) => part.leadTime ?? 0));
  const { variety } = weights;
  let purchase = 0;
  for (const { part, count } of lines) purchase += count * priceAt(part, count);
  const each = answer.map(({ axes, buses }, m) => {
    const supplies = buses.flatMap(({ supply }) => (supply === null ? [] : [supply.width]));
    const drives = (bought[m] ?? []).flatMap((part) => (part.kind === "drive" ? [part.width] : []));
    return {
      price: (bought[m] ?? []).reduce((sum, part) => sum + priceAt(part, units.get(keyOf(part))?.count ?? 0), 0),
      mass: axes.reduce((sum, pick) => sum + ridingMass(pick), 0),
      width: [...drives, ...supplies].reduce((sum, w) => sum + w, 0),
    };
  });
  const order = (value: (m: number) => number): number =>
    machines.reduce((sum, { quantity }, m) => sum + quantity * value(m), 0);
  const terms = {
    purchase: Math.round(purchase * weights.purchase),
    energy: Math.round(order((m) => inputs[m] ?? 0) * weights.energy.price * weights.energy.duration),
    variety: Math.round(
      lines.reduce((sum, { part }) => sum + variety[part.kind], 0) + frames * variety.frame + makers * variety.maker,
    ),
    mass: Math.round(order((m) => each[m]?.mass ?? 0) * weights.mass),
    cabinetWidth: Math.round(order((m) => each[m]?.width ?? 0) * weights.cabinetWidth),
    leadTime: Math.round(longest * weights.leadTime),
  };
  const failed: string[] = [];
  const cap = (id: string, value: number, allowed: number | undefined): void => {
    if (allowed !== undefined && value > allowed * (1 + 1e-9)) failed.push(id);
  };
  for (const { price, mass, width } of each) {
    cap("machine.price", price, caps.price);
    cap("machine.mass", mass, caps.mass);
    cap("machine.cabinet_width", width, caps.cabinetWidth);
  }
  cap("machine.lead_time", longest, caps.leadTime);
  if (caps.leadTime !== undefined && lines.some(({ part }) => part.leadTime === undefined))
    failed.push("machine.lead_time");
  cap("caps.motors", distinct("motor"), caps.motors);
  cap("caps.frames", frames, caps.frames);
  cap("caps.gearboxes", distinct("gearbox"), caps.gearboxes);
  cap("caps.drives", distinct("drive"), caps.drives);
  cap("caps.makers", makers, caps.makers);
  cap("caps.parts", lines.length, caps.parts);
  return {
    total: Object.values(terms).reduce((sum, term) => sum + term, 0),
    terms,
    partCount: lines.length,
    mass: order((m) => each[m]?.mass ?? 0),
    failed,
  };
}
