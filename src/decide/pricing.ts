import type { AnyPart, Catalogue } from "../machine/catalogue.ts";
import type { Field } from "./field.ts";

/** Numbers for every part, frame and maker, by catalogue index: sums of them price candidates without making columns. */
export interface PartTerms {
  /** Part, frame and mass. */
  readonly motor: Float64Array;
  /** Shifted by one: entry 0 is "no gearbox". */
  readonly gearbox: Float64Array;
  readonly drive: Float64Array;
  /** Shifted by one. */
  readonly inductor: Float64Array;
  /** By maker; each counts once in a candidate. */
  readonly maker: Float64Array;
}

/** Where the numbers come from. */
export interface TermSource {
  readonly part: (part: AnyPart) => number;
  readonly frame: (name: string) => number;
  readonly maker: (name: string) => number;
  readonly perMass?: number;
}

/** Who makes what, by number. */
export interface Makers {
  readonly names: readonly string[];
  readonly motor: Int32Array;
  /** Shifted by one; "no gearbox" has maker −1. */
  readonly gearbox: Int32Array;
  readonly drive: Int32Array;
}

export function makersOf({ motors, gearboxes, drives, inductors }: Catalogue): Makers {
  const names = [...new Set([...motors, ...gearboxes, ...drives, ...inductors].map(({ maker }) => maker))];
  const numbers = new Map(names.map((name, k) => [name, k]));
  const numberOf = ({ maker }: AnyPart): number => numbers.get(maker) ?? -1;
  return {
    names,
    motor: Int32Array.from(motors, numberOf),
    gearbox: Int32Array.from([-1, ...gearboxes.map(numberOf)]),
    drive: Int32Array.from(drives, numberOf),
  };
}

export function partTerms(
  { motors, gearboxes, drives, inductors }: Catalogue,
  makers: Makers,
  { part, frame, maker, perMass = 0 }: TermSource,
): PartTerms {
  return {
    motor: Float64Array.from(motors, (motor) => part(motor) + frame(motor.frame.trim()) + perMass * motor.mass),
    gearbox: Float64Array.from([0, ...gearboxes.map((gearbox) => part(gearbox) + perMass * gearbox.mass)]),
    drive: Float64Array.from(drives, part),
    inductor: Float64Array.from([0, ...inductors.map(part)]),
    maker: Float64Array.from(makers.names, maker),
  };
}

/** What the candidates of a field cost: parts, energy, and the price of the mass they can carry. */
export interface Scoring {
  readonly catalogue: Catalogue;
  readonly makers: Makers;
  readonly terms: PartTerms;
  /** Cents per watt of mean power. */
  readonly energy: number;
  /** Cents by case of carried mass. */
  readonly carry: Float64Array;
}

/** A candidate in one case of carried mass, by indices; −1: no inductor. */
export type ScoreVisitor = (
  look: number,
  pair: number,
  drive: number,
  inductor: number,
  at: number,
  score: number,
) => void;

/** Visits every candidate that costs at most the limit, which the visitor may lower on the way. Hot. */
export function eachScored(
  { lead, power }: Pick<Field, "lead" | "power">,
  { catalogue, makers, terms, energy, carry }: Scoring,
  { bounds, visit }: { bounds: { limit: number }; visit: ScoreVisitor },
): void {
  const losses = Float64Array.from(catalogue.drives, ({ lossPerAmp }) => lossPerAmp);
  const beyondPair = leastBeyondPair(terms, makers);
  for (let l = 0; l < lead.looks.length; l++) {
    const {
      judged: { pairs, states },
      cases,
    } = lead.looks[l]!;
    const { base, current } = power[l]!;
    for (let p = 0; p < pairs.length; p++) {
      const pair = pairs[p]!;
      const motorMaker = makers.motor[pair.motor]!;
      const gearboxMaker = makers.gearbox[pair.gearbox + 1]!;
      const parts =
        terms.motor[pair.motor]! + terms.gearbox[pair.gearbox + 1]! + pairMakers(terms, motorMaker, gearboxMaker);
      const { state } = states[p]!;
      for (let at = 0; at < cases.length; at++) {
        const entry = p * cases.length + at;
        const own = parts + energy * base[entry]! + carry[cases[at]!]!;
        if (own + beyondPair > bounds.limit) continue;
        const perLoss = energy * current[entry]!;
        for (let drive = 0; drive < state.length; drive++) {
          const how = state[drive]!;
          if (how === 0) continue;
          const maker = makers.drive[drive]!;
          let score = own + terms.drive[drive]! + perLoss * losses[drive]!;
          if (maker !== motorMaker && maker !== gearboxMaker) score += terms.maker[maker]!;
          if (how % 2 === 1 && score <= bounds.limit) visit(l, p, drive, -1, at, score);
          if (how < 2) continue;
          for (const inductor of pair.inductors.get(drive) ?? []) {
            const whole = score + terms.inductor[inductor + 1]!;
            if (whole <= bounds.limit) visit(l, p, drive, inductor, at, whole);
          }
        }
      }
    }
  }
}

/** Sum of the terms of one candidate's parts, whatever it is priced for. */
export function partsTerm(
  terms: PartTerms,
  makers: Makers,
  { motor, gearbox, drive, inductor }: { motor: number; gearbox: number; drive: number; inductor: number },
): number {
  const [motorMaker, gearboxMaker, driveMaker] = [
    makers.motor[motor] ?? -1,
    makers.gearbox[gearbox + 1] ?? -1,
    makers.drive[drive] ?? -1,
  ];
  const drivesMaker = driveMaker === motorMaker || driveMaker === gearboxMaker ? 0 : (terms.maker[driveMaker] ?? 0);
  return (
    (terms.motor[motor] ?? 0) +
    (terms.gearbox[gearbox + 1] ?? 0) +
    pairMakers(terms, motorMaker, gearboxMaker) +
    (terms.drive[drive] ?? 0) +
    drivesMaker +
    (terms.inductor[inductor + 1] ?? 0)
  );
}

function pairMakers({ maker }: PartTerms, motorMaker: number, gearboxMaker: number): number {
  const second = gearboxMaker < 0 || gearboxMaker === motorMaker ? 0 : (maker[gearboxMaker] ?? 0);
  return (maker[motorMaker] ?? 0) + second;
}

/** Least that drive, its maker and an inductor can add. */
function leastBeyondPair({ drive, maker, inductor }: PartTerms, makers: Makers): number {
  let least = Number.POSITIVE_INFINITY;
  drive.forEach((term, d) => {
    least = Math.min(least, term + Math.min(0, maker[makers.drive[d] ?? -1] ?? 0));
  });
  return least + inductor.reduce((low, term) => Math.min(low, term), 0);
}
