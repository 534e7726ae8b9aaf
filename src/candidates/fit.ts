import type { Catalogue, Drive, Gearbox, Motor, PartBase, PartKind } from "../machine/catalogue.ts";
import type { Axis, Problem } from "../machine/problem.ts";
import type { BusVoltage } from "../physics/limits/rating.ts";

/** Why a part cannot stand on an axis at all, before any limit is judged. */
export type UnfitReason =
  | "forbidden"
  | "not allowed"
  | "maker"
  | "construction"
  | "feedback"
  | "match"
  | "size"
  | "protection"
  | "ratio"
  | "gearbox kind"
  | "gearless"
  | "frame"
  | "bus voltage";

/** Parts of the catalogues that can stand on an axis, by index, and why the others cannot. */
export interface FitParts {
  readonly motors: readonly number[];
  /** −1: no gearbox. */
  readonly gearboxes: readonly number[];
  readonly drives: readonly number[];
  readonly inductors: readonly number[];
  readonly unfit: {
    readonly motors: ReadonlyMap<UnfitReason, number>;
    readonly gearboxes: ReadonlyMap<UnfitReason, number>;
    readonly drives: ReadonlyMap<UnfitReason, number>;
  };
}

type Reason = UnfitReason | undefined;

/** Parts that fit an axis by its `needs`, `allow` and bus. Which of them pass its limits is judged later. */
export function fitParts(
  problem: Problem,
  axis: Axis,
  { catalogue, bus }: { catalogue: Catalogue; bus: BusVoltage },
): FitParts {
  const motors = sorted(
    catalogue.motors,
    (m) => forbidden(problem, m) ?? unfitPart(axis, m, axis.allow.motors) ?? unfitMotor(axis, m),
  );
  const gearboxes = sorted(
    catalogue.gearboxes,
    (g) => forbidden(problem, g) ?? unfitPart(axis, g, axis.allow.gearboxes) ?? unfitGearbox(axis, g),
  );
  const drives = sorted(
    catalogue.drives,
    (d) => forbidden(problem, d) ?? unfitPart(axis, d, axis.allow.drives) ?? unfitDrive(bus, d),
  );
  const inductors = sorted(catalogue.inductors, (i) => forbidden(problem, i) ?? unfitPart(axis, i, undefined));
  const gearless = axis.allow.gearless;
  return {
    motors: motors.fit,
    gearboxes: gearless ? [-1, ...gearboxes.fit] : gearboxes.fit,
    drives: drives.fit,
    inductors: inductors.fit,
    unfit: {
      motors: motors.unfit,
      gearboxes: gearless ? gearboxes.unfit : new Map([...gearboxes.unfit, ["gearless", 1]]),
      drives: drives.unfit,
    },
  };
}

function sorted<T>(
  parts: readonly T[],
  reason: (part: T) => Reason,
): { fit: number[]; unfit: Map<UnfitReason, number> } {
  const fit: number[] = [];
  const unfit = new Map<UnfitReason, number>();
  parts.forEach((part, index) => {
    const why = reason(part);
    if (why === undefined) fit.push(index);
    else unfit.set(why, (unfit.get(why) ?? 0) + 1);
  });
  return { fit, unfit };
}

function forbidden({ forbid }: Problem, { part, maker }: PartBase): Reason {
  return forbid.parts.includes(part) || forbid.makers.includes(maker) ? "forbidden" : undefined;
}

function unfitPart(axis: Axis, part: PartBase & { kind: PartKind }, allowed: readonly string[] | undefined): Reason {
  if (allowed !== undefined && !allowed.includes(part.part)) return "not allowed";
  if (axis.allow.makers !== undefined && !axis.allow.makers.includes(part.maker)) return "maker";
  const rules = Object.entries(axis.needs.match).filter(([key]) => key.startsWith(`${part.kind}.`));
  const matches = rules.every(([key, accepted]) =>
    accepted.includes(part.texts[key.slice(part.kind.length + 1)] ?? ""),
  );
  return matches ? undefined : "match";
}

function unfitMotor({ needs, allow }: Axis, motor: Motor): Reason {
  if (allow.constructions !== undefined && !allow.constructions.includes(motor.construction)) return "construction";
  if (needs.feedback !== undefined && !needs.feedback.includes(motor.feedback)) return "feedback";
  if (needs.ip !== undefined && !needs.ip.includes(motor.ip ?? "")) return "protection";
  return isTooLarge(needs, motor) ? "size" : undefined;
}

function isTooLarge(
  { maxLength = Number.POSITIVE_INFINITY, maxWidth = Number.POSITIVE_INFINITY }: Axis["needs"],
  { length, width }: Motor,
): boolean {
  return length > maxLength || width > maxWidth;
}

function unfitGearbox({ allow }: Axis, gearbox: Gearbox): Reason {
  if (allow.gearboxKinds !== undefined && !allow.gearboxKinds.includes(gearbox.style)) return "gearbox kind";
  if (allow.ratios === undefined) return undefined;
  const [low, high] = allow.ratios;
  return gearbox.ratio < low || gearbox.ratio > high ? "ratio" : undefined;
}

/** A drive must stand its bus: from the lowest to the highest voltage without chopper. */
function unfitDrive({ low, high }: BusVoltage, drive: Drive): Reason {
  return drive.busMax < high || (drive.busMin ?? 0) > low ? "bus voltage" : undefined;
}

/** True where the gearbox carries the motor's frame; no gearbox carries any. */
export function frameFits(motor: Motor, gearbox: Gearbox | undefined): boolean {
  return gearbox === undefined || gearbox.motorFrames.includes(motor.frame);
}
