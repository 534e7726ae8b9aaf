import type { LimitId } from "../machine/limit.ts";
import type { MotorStanding } from "../machine/ratios.ts";
import { assumedGearbox } from "./median-gearbox.ts";
import { fittingMotors, type IndexedMotor, type Subject } from "./subject.ts";
import { anyDrive, gearboxesFor, type Survey, surveyOf } from "./survey.ts";
import { MOTOR_CURVE_LIMITS, trainLimits } from "./utilisation.ts";
import { rangeOfRatios, windowsOf } from "./windows.ts";

/** How a motor stands on the axis, found with as little work as that takes. */
export interface Standing extends IndexedMotor {
  readonly standing: MotorStanding;
  readonly fails: readonly LimitId[];
  /** The cheapest real pick that passes in judging, which may let through what fails by a hair [cent]; Infinity: none. */
  readonly price: number;
}

/** Motors that have something to stand on: a gearbox that carries them, or none where that is allowed, and a drive. */
export function usableMotors(subject: Subject): IndexedMotor[] {
  return fittingMotors(subject).filter(
    (one) => gearboxesFor(subject, one).length > 0 && anyDrive(subject, one) !== undefined,
  );
}

/** Intervals of log ratio in which limits are looked for. */
const SAMPLES = 24;

/** Every motor: with a real pick that passes, else by the limits that no drive enters, one after the other. */
export function standings(subject: Subject, motors: readonly IndexedMotor[]): Standing[] {
  const survey = surveyOf(subject, motors, false);
  return motors.map((one) => {
    const price = cheapestIn(survey, one);
    return price < Number.POSITIVE_INFINITY
      ? { ...one, standing: "works", fails: [], price }
      : { ...one, ...betweenRatios(subject, one), price };
  });
}

function cheapestIn(survey: Survey, { index }: IndexedMotor): number {
  const first = [...(survey.get(index)?.values() ?? [])].flatMap(([cheapest]) => cheapest ?? []);
  return first.reduce((least, { price }) => Math.min(least, price), Number.POSITIVE_INFINITY);
}

function betweenRatios(subject: Subject, one: IndexedMotor): Pick<Standing, "standing" | "fails"> {
  const { motor } = one;
  const { needs } = subject.axis.axis;
  const range = rangeOfRatios(subject.duties, { needs, maxSpeed: motor.maxSpeed, largest: largestRatio(subject) });
  const drive = anyDrive(subject, one);
  if (range === null || drive === undefined) return { standing: "fails", fails: ["motor.speed"] };
  const train = { motor, gearbox: assumedGearbox(subject, motor).gearbox, ...drive };
  const search = { range, ids: MOTOR_CURVE_LIMITS, samples: SAMPLES, stops: true };
  const { windows, fails } = windowsOf(trainLimits(subject, train), search);
  return windows.length > 0 ? { standing: "between", fails: [] } : { standing: "fails", fails };
}

/** Of the gearboxes that fit the axis. */
export function largestRatio({ setup, axis }: Subject): number {
  return axis.fit.gearboxes.reduce((most, g) => Math.max(most, setup.catalogue.gearboxes[g]?.ratio ?? 1), 1);
}
