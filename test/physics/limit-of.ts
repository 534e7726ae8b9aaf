import type { Drive, Gearbox, Inductor, Motor } from "../../src/machine/catalogue.ts";
import type { Limit, LimitId } from "../../src/machine/limit.ts";
import type { Site } from "../../src/machine/problem.ts";
import { judgePick } from "../../src/physics/limits/judge-pick.ts";
import { type PickDuty, pickDuty } from "../../src/physics/limits/pick-duty.ts";
import { busVoltage } from "../../src/physics/limits/rating.ts";
import { dutyOfSample, MILD_SITE, type Sample } from "./sample-axis.ts";
import { driveWith, gearboxWith, motorWith } from "./sample-parts.ts";

/** Parts of a pick: what is not given is massless, frictionless, lossless. */
export interface SampleParts {
  readonly motor?: Partial<Motor>;
  readonly gearbox?: Partial<Gearbox> | undefined;
  readonly drive?: Partial<Drive>;
  readonly inductor?: Inductor;
  readonly site?: Site;
  readonly bus?: { readonly low: number; readonly high: number };
}

/** A pick of sample parts on a sample axis. */
export function pickOn(sample: Sample, parts: SampleParts = {}): PickDuty {
  const { motor, gearbox, drive, inductor, site = MILD_SITE, bus = busVoltage({ id: "main" }, site) } = parts;
  const pick = { motor: motorWith(motor), gearbox: gearbox && gearboxWith(gearbox), drive: driveWith(drive), inductor };
  return pickDuty(dutyOfSample(sample), pick, { site, bus });
}

/** One limit of a pick of sample parts on a sample axis. */
export function limitOf(id: LimitId, sample: Sample, parts: SampleParts = {}): Limit {
  const limit = judgePick(pickOn(sample, parts)).limits.find((found) => found.id === id);
  if (limit === undefined) throw new Error(`${id} is not judged`);
  return limit;
}
