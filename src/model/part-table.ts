import { type AnyPart, type PriceStep, partKey } from "../machine/catalogue.ts";
import type { Problem } from "../machine/problem.ts";
import type { ModelPart, Origin } from "./selection.ts";

/** Parts met while building, each with one index in the model. */
export interface PartTable {
  readonly parts: readonly ModelPart[];
  /** Index of a part number; adds it when it is new. */
  readonly number: (part: AnyPart) => number;
  /** Index of a part number that the model holds. */
  readonly find: (part: AnyPart) => number | undefined;
  /** Index of a frame or maker, or undefined where neither cost nor cap depends on it. */
  readonly frame: (name: string) => number | undefined;
  readonly maker: (name: string) => number | undefined;
  /** true: the part's price stands in the columns. */
  readonly isPricedInColumns: (part: AnyPart) => boolean;
}

/** What a part can come to in the order: units at most, and costs per unit beside its price. */
export interface PartTerms {
  readonly mostUnits: (part: AnyPart) => number;
  /** Cents per unit beside the purchase price: losses and cabinet width of a module. */
  readonly besidePrice: (part: AnyPart) => number;
}

/** An empty table for a problem. */
export function partTable({ weights, caps }: Problem, { mostUnits, besidePrice }: PartTerms): PartTable {
  const parts: ModelPart[] = [];
  const indices = new Map<string, number>();
  const indexOf = (key: string, make: () => ModelPart): number => {
    const known = indices.get(key);
    if (known !== undefined) return known;
    indices.set(key, parts.length);
    return parts.push(make()) - 1;
  };
  const group = (kind: "frame" | "maker", capped: boolean): ((name: string) => number | undefined) => {
    const fixed = weights.variety[kind];
    if (fixed === 0 && !capped) return () => undefined;
    return kept((name) => {
      const origin: Origin = { kind, id: name };
      const charge = { fixed, steps: [], channels: 1, isPartNumber: false };
      return indexOf(`${kind} ${name}`, () => ({ id: `${kind} ${name}`, origin, ...charge }));
    });
  };
  const steps = (part: AnyPart): ModelPart["steps"] => {
    const reached = part.prices.filter(({ from }) => from <= mostUnits(part));
    if (channelsOf(part) === 1 && reached.length <= 1) return [];
    return reached.map(({ from, price }) => ({ from, price: price * weights.purchase + besidePrice(part) }));
  };
  return {
    parts,
    find: (part) => indices.get(idOf(part)),
    number: kept((part) =>
      indexOf(idOf(part), () => {
        const origin: Origin = { kind: "part", part: part.kind, id: partKey(part) };
        const charge = { fixed: weights.variety[part.kind], steps: steps(part), channels: channelsOf(part) };
        return { id: idOf(part), origin, ...charge, isPartNumber: true };
      }),
    ),
    frame: group("frame", caps.frames !== undefined),
    maker: group("maker", caps.makers !== undefined),
    isPricedInColumns: kept((part) => steps(part).length === 0),
  };
}

/** The same function, worked out once for each argument: every column asks. */
function kept<A, V>(work: (of: A) => V): (of: A) => V {
  const known = new Map<A, V>();
  return (of) => {
    const before = known.get(of);
    if (before !== undefined) return before;
    const made = work(of);
    known.set(of, made);
    return made;
  };
}

function idOf(part: AnyPart): string {
  return `${part.kind} ${partKey(part)}`;
}

/** Channels of a drive; 1 for everything else. */
function channelsOf(part: AnyPart): number {
  return part.kind === "drive" ? part.channels : 1;
}

/** Lowest unit price of any step [cent]. */
export function lowestPrice({ prices }: AnyPart): number {
  return prices.reduce((least, { price }) => Math.min(least, price), Number.POSITIVE_INFINITY);
}

/** Unit price at the first step [cent]. */
export function firstPrice(prices: readonly PriceStep[]): number {
  return prices[0]?.price ?? 0;
}
