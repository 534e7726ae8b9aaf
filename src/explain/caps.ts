import type { DistinctCounts, OrderMoney } from "../decide/money.ts";
import { PART_KINDS } from "../machine/catalogue.ts";
import type { LimitId, LimitUnit } from "../machine/limit.ts";
import type { Caps, Problem, Weights } from "../machine/problem.ts";

/** A cap of the order or of each machine, and what an answer comes to against it. */
export interface Cap {
  readonly id: LimitId;
  readonly key: keyof Caps;
  readonly unit: LimitUnit;
  readonly demand: (money: OrderMoney) => number;
  /** The next value worth trying below one that an answer needs: one part fewer, or a hair less. */
  readonly below: (value: number) => number;
  /** Weights under which a unit of the demand costs so many cents. */
  readonly weights: (cents: number) => Partial<Weights>;
}

/** Weights under which nothing of an order counts. */
const NOTHING = {
  purchase: 0,
  variety: { motor: 0, frame: 0, gearbox: 0, drive: 0, maker: 0, supply: 0, resistor: 0, inductor: 0 },
  mass: 0,
  cabinetWidth: 0,
  leadTime: 0,
} as const;

/** Caps in the order of the documentation. */
const CAPS: readonly Cap[] = [
  count("motors", ["motor"]),
  count("frames", ["frame"]),
  count("gearboxes", ["gearbox"]),
  count("drives", ["drive"]),
  count("makers", ["maker"]),
  count("parts", PART_KINDS),
  {
    id: "machine.price",
    key: "price",
    unit: "cent",
    demand: ({ totals }) => Math.max(0, ...totals.map(({ price }) => price)),
    below: oneLess,
    weights: (cents) => ({ purchase: cents }),
  },
  {
    id: "machine.mass",
    key: "mass",
    unit: "kg",
    demand: ({ totals }) => Math.max(0, ...totals.map(({ mass }) => mass)),
    below: hairLess,
    weights: (cents) => ({ mass: cents }),
  },
  {
    id: "machine.cabinet_width",
    key: "cabinetWidth",
    unit: "m",
    demand: ({ totals }) => Math.max(0, ...totals.map(({ cabinetWidth }) => cabinetWidth)),
    below: hairLess,
    weights: (cents) => ({ cabinetWidth: cents }),
  },
  {
    id: "machine.lead_time",
    key: "leadTime",
    unit: "day",
    demand: ({ lines }) => Math.max(0, ...lines.map(({ part }) => part.leadTime ?? 0)),
    below: oneLess,
    weights: (cents) => ({ leadTime: cents }),
  },
];

function count(key: keyof DistinctCounts, kinds: readonly (keyof Weights["variety"])[]): Cap {
  const weights = (cents: number): Partial<Weights> => ({
    variety: { ...NOTHING.variety, ...Object.fromEntries(kinds.map((kind) => [kind, cents])) },
  });
  return { id: `caps.${key}`, key, unit: "count", demand: ({ distinct }) => distinct[key], below: oneLess, weights };
}

function oneLess(value: number): number {
  return value - 1;
}

/** By more than the rounding that rows and checks allow, or the same answer would come again for ever. */
function hairLess(value: number): number {
  return value * (1 - 1e-6);
}

/** A cap with the value the problem gives it. */
export interface CapSet {
  readonly cap: Cap;
  readonly allowed: number;
}

/** Caps that the problem sets. */
export function capsSet({ caps }: Pick<Problem, "caps">): CapSet[] {
  return CAPS.flatMap((cap) => {
    const allowed = caps[cap.key];
    return allowed === undefined ? [] : [{ cap, allowed }];
  });
}

/** A problem with a cap at another value, or without it. */
export function withCap(problem: Problem, { key }: Cap, value: number | undefined): Problem {
  const { [key]: _, ...others } = problem.caps;
  return { ...problem, caps: value === undefined ? others : { ...others, [key]: value } };
}

/** A problem whose cheapest order is the one that needs least of a cap. */
export function weighedBy(problem: Problem, { cap, allowed }: CapSet): Problem {
  const { weights } = problem;
  const energy = { ...weights.energy, price: 0 };
  return {
    ...problem,
    weights: { ...weights, ...NOTHING, energy, ...cap.weights(WHOLE / (allowed > 0 ? allowed : 1)) },
  };
}

/** What so much as is allowed then costs: fine enough for whole cents to tell demands apart [cent]. */
const WHOLE = 1e7;
