import { type Candidate, candidateOf, eachCandidate } from "../candidates/each-candidate.ts";
import { frameFits } from "../candidates/fit.ts";
import { judgedByCase, type Only } from "../decide/judged-axis.ts";
import { entryOf } from "../faults/entry-of.ts";
import type { Drive, Gearbox, Inductor } from "../machine/catalogue.ts";
import { LIMIT_IDS } from "../machine/limit.ts";
import type { PickParts } from "../physics/limits/pick-duty.ts";
import { axisPrice } from "./money.ts";
import type { IndexedMotor, Subject } from "./subject.ts";

/** Parts that judging looked at, and by how many times the worst limit exceeds what it lets through; 0: none does. */
export interface Option {
  readonly parts: PickParts;
  readonly by: number;
  /** [cent] */
  readonly price: number;
}

/** Options by motor (catalogue index), then by gearbox (−1: none), cheapest first. */
export type Survey = ReadonlyMap<number, ReadonlyMap<number, readonly Option[]>>;

/**
 * Judges the axis as for an order: from the safe side, so that an option that passes here may still fail by a hair.
 *
 * @param motors - only these
 * @param fails - true: with options that fail limits
 */
export function surveyOf(subject: Subject, motors: readonly IndexedMotor[], fails: boolean): Survey {
  const { setup, axis, carried } = subject;
  const judged = judgedByCase(axis, setup.catalogue, {
    cases: [{ low: carried, high: carried }],
    judging: { most: fails ? LIMIT_IDS.length : 0 },
    only: onlyMotors(subject, motors),
  });
  const found = new Map<number, Map<number, Option[]>>();
  for (const { judged: look } of judged.looks) {
    eachCandidate(look, (pair, drive, inductor, index) => {
      const candidate = candidateOf(look, { pair, index, drive, inductor });
      const own = found.get(pair.motor) ?? new Map<number, Option[]>();
      found.set(pair.motor, own);
      own.set(pair.gearbox, [...(own.get(pair.gearbox) ?? []), optionOf(subject, candidate)]);
    });
  }
  for (const own of found.values()) for (const options of own.values()) options.sort(byPrice);
  return found;
}

function onlyMotors({ setup, axis }: Subject, motors: readonly IndexedMotor[]): Only {
  return new Map(
    axis.fit.gearboxes.map((g) => {
      const gearbox = setup.catalogue.gearboxes[g];
      return [g, motors.filter(({ motor }) => frameFits(motor, gearbox)).map(({ index }) => index)];
    }),
  );
}

function optionOf(subject: Subject, candidate: Candidate): Option {
  const { motors, gearboxes, drives, inductors } = subject.setup.catalogue;
  const parts = {
    motor: entryOf(motors, candidate.motor),
    gearbox: gearboxes[candidate.gearbox],
    drive: entryOf(drives, candidate.drive),
    inductor: inductors[candidate.inductor],
  };
  return { parts, by: candidate.by, price: axisPrice(subject, parts) };
}

function byPrice(one: Option, other: Option): number {
  return one.price - other.price;
}

/** Gearboxes that carry a motor on the axis, in the order of the catalogues; −1 and undefined: none. */
export function gearboxesFor(
  { setup, axis }: Subject,
  { motor }: IndexedMotor,
): { readonly index: number; readonly gearbox: Gearbox | undefined }[] {
  return axis.fit.gearboxes
    .map((index) => ({ index, gearbox: setup.catalogue.gearboxes[index] }))
    .filter(({ gearbox }) => frameFits(motor, gearbox));
}

/** The cheapest drive that takes a motor's feedback, with no inductor; undefined where there is none. */
export function anyDrive(
  subject: Subject,
  { motor }: IndexedMotor,
): { readonly drive: Drive; readonly inductor: Inductor | undefined } | undefined {
  const { catalogue } = subject.setup;
  const price = (drive: Drive): number => axisPrice(subject, { motor, gearbox: undefined, drive, inductor: undefined });
  const [cheapest] = subject.axis.fit.drives
    .flatMap((index) => catalogue.drives[index] ?? [])
    .filter(({ feedback }) => feedback.includes(motor.feedback))
    .toSorted((a, b) => price(a) - price(b));
  return cheapest === undefined ? undefined : { drive: cheapest, inductor: undefined };
}
