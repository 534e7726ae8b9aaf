import { eachCandidate } from "../candidates/each-candidate.ts";
import type { JudgedPair } from "../candidates/judge-axis.ts";
import type { AnyPart, Catalogue } from "../machine/catalogue.ts";
import type { JudgedAxis } from "./axis-columns.ts";
import { type QuickDuty, quickDuty, quickFigures, type Taken } from "./power-book.ts";

/** A number for every part, frame and maker, by catalogue index: sums of them price candidates without making columns. */
export interface PartTerms {
  readonly motor: Float64Array;
  /** Shifted by one: entry 0 is "no gearbox". */
  readonly gearbox: Float64Array;
  readonly drive: Float64Array;
  /** Shifted by one. */
  readonly inductor: Float64Array;
  readonly maker: ReadonlyMap<string, number>;
}

/** Where the numbers come from. */
export interface TermSource {
  readonly part: (part: AnyPart) => number;
  readonly frame: (name: string) => number;
  readonly maker: (name: string) => number;
}

export function partTerms(
  { motors, gearboxes, drives, inductors }: Catalogue,
  { part, frame, maker }: TermSource,
): PartTerms {
  const makers = new Set([...motors, ...gearboxes, ...drives, ...inductors].map((p) => p.maker));
  return {
    motor: Float64Array.from(motors, (motor) => part(motor) + frame(motor.frame.trim())),
    gearbox: Float64Array.from([0, ...gearboxes.map(part)]),
    drive: Float64Array.from(drives, part),
    inductor: Float64Array.from([0, ...inductors.map(part)]),
    maker: new Map([...makers].map((name) => [name, maker(name)])),
  };
}

/** Sum of the terms of a pair; each maker counts once. */
function pairTerm(
  terms: PartTerms,
  { motors, gearboxes }: Catalogue,
  { motor, gearbox }: JudgedPair,
): { sum: number; makers: readonly string[] } {
  const makers = [...new Set([motors[motor]?.maker, gearboxes[gearbox]?.maker])].filter((name) => name !== undefined);
  const bought = (terms.motor[motor] ?? 0) + (terms.gearbox[gearbox + 1] ?? 0);
  return { sum: makers.reduce((all, name) => all + (terms.maker.get(name) ?? 0), bought), makers };
}

/** Visits every candidate with its sums of terms, and its mean power from below [W]. */
export function eachPriced(
  axis: JudgedAxis,
  catalogue: Catalogue,
  { terms, taken, visit }: { terms: readonly PartTerms[]; taken: Taken; visit: (found: Priced) => void },
): void {
  const quick = axis.duties.map((duty) => quickDuty(duty, taken));
  const found: Mutable = {
    pair: undefined,
    index: -1,
    drive: -1,
    inductor: -1,
    sums: new Float64Array(terms.length),
    power: 0,
  };
  const makers = catalogue.drives.map(({ maker }) => maker);
  const losses = Float64Array.from(catalogue.drives, ({ lossPerAmp }) => lossPerAmp);
  let known: Known | undefined;
  eachCandidate(axis.judged, (pair, drive, inductor, index) => {
    if (known?.pair !== pair) known = knownOf(axis, catalogue, { pair, terms, quick });
    for (let k = 0; k < terms.length; k++) {
      const [of, own] = [terms[k], known.terms[k]];
      if (of === undefined || own === undefined) continue;
      const maker = makers[drive] ?? "";
      const perMaker = own.makers.includes(maker) ? 0 : (of.maker.get(maker) ?? 0);
      found.sums[k] = own.sum + (of.drive[drive] ?? 0) + perMaker + (of.inductor[inductor + 1] ?? 0);
    }
    found.pair = pair;
    found.index = index;
    found.drive = drive;
    found.inductor = inductor;
    found.power = known.base + known.current * (losses[drive] ?? 0);
    if (isPriced(found)) visit(found);
  });
}

/** The record reused from visit to visit. */
interface Mutable {
  pair: JudgedPair | undefined;
  index: number;
  drive: number;
  inductor: number;
  readonly sums: Float64Array;
  power: number;
}

function isPriced(found: Mutable): found is Mutable & Priced {
  return found.pair !== undefined;
}

/** One candidate priced; the record is reused from visit to visit. */
export interface Priced {
  readonly pair: JudgedPair;
  readonly index: number;
  readonly drive: number;
  readonly inductor: number;
  readonly sums: Float64Array;
  readonly power: number;
}

interface Known {
  readonly pair: JudgedPair;
  readonly base: number;
  readonly current: number;
  readonly terms: readonly { sum: number; makers: readonly string[] }[];
}

function knownOf(
  axis: JudgedAxis,
  catalogue: Catalogue,
  { pair, terms, quick }: { pair: JudgedPair; terms: readonly PartTerms[]; quick: readonly QuickDuty[] },
): Known {
  const motor = catalogue.motors[pair.motor];
  const gearbox = catalogue.gearboxes[pair.gearbox];
  const cases =
    motor === undefined
      ? []
      : quick.map((one) => quickFigures(axis.setup, one, { motor, gearbox, peakTorque: pair.peakTorque }));
  const least = (value: (one: { base: number; current: number }) => number): number =>
    cases.reduce((all, one) => Math.min(all, value(one)), Number.POSITIVE_INFINITY);
  const figures = { base: least(({ base }) => base), current: least(({ current }) => current) };
  return { pair, ...figures, terms: terms.map((of) => pairTerm(of, catalogue, pair)) };
}
