import { InternalFault } from "../faults/fault.ts";
import type { LimitId } from "../machine/limit.ts";
import type { CurveLine, MotorRatios, RatioCurve, RatioRange } from "../machine/ratios.ts";
import { inertiaMatchedRatio, leastHeatRatio } from "./marks.ts";
import { type Assumed, assumedGearbox } from "./median-gearbox.ts";
import { leadingPick, type RealPick, ratioOf, realPicks } from "./real-picks.ts";
import { largestRatio } from "./standing.ts";
import type { IndexedMotor, Subject } from "./subject.ts";
import type { Survey } from "./survey.ts";
import { CURVE_LIMITS, type Train, type TrainLimits, trainLimits } from "./utilisation.ts";
import { rangeOfRatios, searchedRatios, type Windows, windowsOf } from "./windows.ts";

/** Intervals of log ratio in which limits are looked for, and for which curves are given. */
const SAMPLES = 40;

/** One motor over all ratios, numbers in SI. */
export interface MotorOverRatios
  extends Pick<
    MotorRatios,
    "range" | "windows" | "fails" | "curve" | "not_checked" | "inertia_matched" | "least_heat"
  > {
  readonly motor: IndexedMotor;
  readonly assumed: Assumed;
  readonly train: Train;
  readonly picks: readonly RealPick[];
}

/** Looks at a motor closely: every limit over the ratio, the windows, the marks, and every real gearbox. */
export function motorOverRatios(subject: Subject, motor: IndexedMotor, survey: Survey): MotorOverRatios {
  const picks = realPicks(subject, motor, survey);
  const leading = leadingPick(subject, picks);
  if (leading === undefined) throw new InternalFault(`${motor.motor.part} has no pick on the axis`);
  const assumed = assumedGearbox(subject, motor.motor);
  const train: Train = { ...leading.parts, gearbox: assumed.gearbox };
  const limits = trainLimits(subject, train);
  const { needs } = subject.axis.axis;
  const largest = Math.max(largestRatio(subject), ...picks.map(ratioOf));
  const range = rangeOfRatios(subject.duties, { needs, maxSpeed: motor.motor.maxSpeed, largest });
  const found =
    range === null ? undefined : windowsOf(limits, { range, ids: CURVE_LIMITS, samples: SAMPLES, stops: false });
  const curve = range === null || found === undefined ? NO_CURVE : curveOf(limits, range, found);
  return {
    motor,
    assumed,
    train,
    picks,
    range,
    windows: found?.windows ?? [],
    fails: found?.fails ?? ["motor.speed"],
    ...marksOf(subject, train, limits),
    curve,
    not_checked: [...limits.unchecked.values()],
  };
}

const NO_CURVE: RatioCurve = { ratio: [], limits: [] };

function marksOf(
  subject: Subject,
  train: Train,
  limits: TrainLimits,
): Pick<MotorOverRatios, "inertia_matched" | "least_heat"> {
  const coolest = leastHeatRatio(subject, train);
  return {
    inertia_matched: inertiaMatchedRatio(subject, train) ?? null,
    least_heat:
      coolest === undefined
        ? null
        : { ratio: coolest, utilisation: finite(limits.use("motor.continuous_torque", coolest)) },
  };
}

/** Every limit at the ratios that were looked at and at each end of a window. */
function curveOf(limits: TrainLimits, range: RatioRange, found: Windows): RatioCurve {
  const ends = found.windows.flatMap(({ from, to }) => [from.ratio, to.ratio]);
  const all = [range.from, ...searchedRatios(range, SAMPLES), ...ends, range.to];
  const ratio = [...new Set(all)].toSorted((a, b) => a - b);
  return { ratio, limits: CURVE_LIMITS.flatMap((id) => lineOf(limits, { id, ratio, found })) };
}

/** Nothing where the limit does not apply or is not checked. */
function lineOf(
  limits: TrainLimits,
  { id, ratio, found }: { id: LimitId; ratio: readonly number[]; found: Windows },
): CurveLine[] {
  const uses = ratio.map((each) => limits.use(id, each));
  if (uses.every((use) => use === undefined)) return [];
  const passes = (found.spans.get(id) ?? []).map(({ from, to }) => [from, to] as const);
  return [{ id, utilisation: uses.map((use) => (use === undefined ? 0 : finite(use))), passes }];
}

function finite(use: number | undefined): number | null {
  return use !== undefined && Number.isFinite(use) ? use : null;
}
