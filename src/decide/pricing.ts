import type { JudgedPair } from "../candidates/judge-axis.ts";
import { DRIVE_STATE } from "../candidates/judge-drives.ts";
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

/** A candidate in one case of carried mass, by indices; one record is reused for all that are visited. */
export interface Seen {
  look: number;
  pair: number;
  drive: number;
  /** −1: none. */
  inductor: number;
  /** Index of the case within the look's. */
  at: number;
  score: number;
}

export type ScoreVisitor = (seen: Readonly<Seen>) => void;

/** Visits every candidate that costs at most the limit, which the visitor may lower on the way. Hot. */
export function eachScored(
  { lead, power }: Pick<Field, "lead" | "power">,
  scoring: Scoring,
  { bounds, visit }: { bounds: { limit: number }; visit: ScoreVisitor },
): void {
  const { makers, terms, energy, carry } = scoring;
  const beyondPair = leastBeyondPair(terms, makers);
  const seen: Seen = { look: 0, pair: 0, drive: 0, inductor: -1, at: 0, score: 0 };
  const run: Run = { scoring, losses: lossesOf(scoring.catalogue), bounds, visit, seen, own: 0, perLoss: 0 };
  for (let l = 0; l < lead.looks.length; l++) {
    const { judged, cases } = lead.looks[l]!;
    const { base, current } = power[l]!;
    seen.look = l;
    for (let p = 0; p < judged.pairs.length; p++) {
      const pair = judged.pairs[p]!;
      const parts = pairTerm(terms, makers, pair);
      seen.pair = p;
      for (let at = 0; at < cases.length; at++) {
        const entry = p * cases.length + at;
        run.own = parts + energy * base[entry]! + carry[cases[at]!]!;
        run.perLoss = energy * current[entry]!;
        seen.at = at;
        if (run.own + beyondPair <= bounds.limit) eachDrive(run, pair, judged.states[p]!.state);
      }
    }
  }
}

function lossesOf({ drives }: Catalogue): Float64Array {
  return Float64Array.from(drives, ({ lossPerAmp }) => lossPerAmp);
}

interface Run {
  readonly scoring: Scoring;
  readonly losses: Float64Array;
  readonly bounds: { limit: number };
  readonly visit: ScoreVisitor;
  readonly seen: Seen;
  /** Of motor, gearbox and case alone. */
  own: number;
  /** Per watt that a drive loses for each ampere. */
  perLoss: number;
}

/** The drives of one motor with gearbox in one case. Hot. */
function eachDrive(run: Run, pair: JudgedPair, state: Uint8Array): void {
  const { losses, bounds, visit, seen, own, perLoss } = run;
  const { terms, makers } = run.scoring;
  const motorMaker = makers.motor[pair.motor]!;
  const gearboxMaker = makers.gearbox[pair.gearbox + 1]!;
  for (let drive = 0; drive < state.length; drive++) {
    const how = state[drive]!;
    if (how === 0) continue;
    const maker = makers.drive[drive]!;
    const isNew = maker !== motorMaker && maker !== gearboxMaker;
    const score = own + terms.drive[drive]! + perLoss * losses[drive]! + (isNew ? terms.maker[maker]! : 0);
    if (how % 2 === 1 && score <= bounds.limit) {
      seen.drive = drive;
      seen.inductor = -1;
      seen.score = score;
      visit(seen);
    }
    if (how >= DRIVE_STATE.withInductor) eachInductor(run, pair, drive, score);
  }
}

function eachInductor(
  { scoring: { terms }, bounds, visit, seen }: Run,
  pair: JudgedPair,
  drive: number,
  score: number,
): void {
  const helping = pair.inductors.get(drive) ?? [];
  for (let at = 0; at < helping.length; at++) {
    const inductor = helping[at]!;
    const whole = score + terms.inductor[inductor + 1]!;
    if (whole > bounds.limit) continue;
    seen.drive = drive;
    seen.inductor = inductor;
    seen.score = whole;
    visit(seen);
  }
}

/** Motor, gearbox and their makers, each once. Hot. */
function pairTerm(
  { motor, gearbox, maker }: PartTerms,
  makers: Makers,
  pair: { readonly motor: number; readonly gearbox: number },
): number {
  const motorMaker = makers.motor[pair.motor]!;
  const gearboxMaker = makers.gearbox[pair.gearbox + 1]!;
  const second = gearboxMaker < 0 || gearboxMaker === motorMaker ? 0 : maker[gearboxMaker]!;
  return motor[pair.motor]! + gearbox[pair.gearbox + 1]! + maker[motorMaker]! + second;
}

/** Sum of the terms of one candidate's parts, whatever it is priced for. */
export function partsTerm(
  terms: PartTerms,
  makers: Makers,
  pair: { readonly motor: number; readonly gearbox: number },
  { drive, inductor }: { readonly drive: number; readonly inductor: number },
): number {
  const maker = makers.drive[drive]!;
  const isNew = maker !== makers.motor[pair.motor] && maker !== makers.gearbox[pair.gearbox + 1];
  const drives = terms.drive[drive]! + (isNew ? terms.maker[maker]! : 0);
  return pairTerm(terms, makers, pair) + drives + terms.inductor[inductor + 1]!;
}

/** Least that drive, its maker and an inductor can add. */
function leastBeyondPair({ drive, maker, inductor }: PartTerms, makers: Makers): number {
  let least = Number.POSITIVE_INFINITY;
  drive.forEach((term, d) => {
    least = Math.min(least, term + Math.min(0, maker[makers.drive[d] ?? -1] ?? 0));
  });
  return least + inductor.reduce((low, term) => Math.min(low, term), 0);
}
