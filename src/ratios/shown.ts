import type { Motor } from "../machine/catalogue.ts";
import type { MotorStanding } from "../machine/ratios.ts";
import { needsBrake } from "../physics/limits/motor-limits.ts";
import { motorPrice } from "./money.ts";
import type { Standing } from "./standing.ts";
import type { Subject } from "./subject.ts";
import { surveyOf } from "./survey.ts";

/** So many motors are looked at closely where none is asked for. */
const SHOWN = 3;

const ORDER: readonly MotorStanding[] = ["works", "between", "fails"];

/**
 * The motors worth looking at: those that work, the one with the cheapest pick first; after them, to fill up, those with a
 * ratio that no real gearbox has. Where there is neither, the motors that fail least. Of motors that differ in feedback and
 * the like alone, whose curves are the same, only the first; a brake that the axis does not need comes behind.
 *
 * @param picked - part number of the motor of a result, which comes first
 */
export function worthLooking(subject: Subject, all: readonly Standing[], picked: string | undefined): Standing[] {
  const hopeful = all.filter(({ standing }) => standing !== "fails");
  const ranked = hopeful.length > 0 ? hopeful.toSorted(byHope(subject)) : byFailing(subject, all);
  const first = all.filter(({ motor }) => motor.part === picked);
  const seen = new Map<string, Standing>();
  for (const one of [...first, ...ranked]) {
    const key = curveKey(one.motor);
    if (!seen.has(key)) seen.set(key, one);
  }
  return [...seen.values()].slice(0, SHOWN);
}

/** Everything that a motor's curves are worked out from, except what drives and limits of their own ask of it. */
function curveKey(motor: Motor): string {
  const {
    part: _,
    prices: _p,
    texts: _t,
    leadTime: _l,
    feedback: _f,
    resolution: _r,
    mass: _m,
    length: _n,
    ...rest
  } = motor;
  return JSON.stringify(rest);
}

function byHope(subject: Subject): (one: Standing, other: Standing) => number {
  const price = (one: Standing): number => (one.price < Infinity ? one.price : motorPrice(subject, one.motor));
  const isBraked = subject.duties.some((duty) => needsBrake(duty, 1));
  const needless = ({ motor }: Standing): number => (motor.brakeTorque !== undefined && !isBraked ? 1 : 0);
  return (one, other) =>
    ORDER.indexOf(one.standing) - ORDER.indexOf(other.standing) ||
    needless(one) - needless(other) ||
    price(one) - price(other);
}

/** The motor whose best real pick exceeds its worst limit least comes first. */
function byFailing(subject: Subject, all: readonly Standing[]): Standing[] {
  const survey = surveyOf(subject, all, true);
  const by = new Map(
    all.map((one) => {
      const options = [...(survey.get(one.index)?.values() ?? [])].flat();
      return [one, options.reduce((least, option) => Math.min(least, option.by), Number.MAX_VALUE)];
    }),
  );
  return all.toSorted((a, b) => (by.get(a) ?? 0) - (by.get(b) ?? 0));
}
