import type { Gearbox, Motor } from "../machine/catalogue.ts";
import type { Duty } from "../physics/duty/duty.ts";
import { allowedScrewSpeed } from "../physics/limits/axis-limits.ts";
import { antiresonance, softest, wantedFrequency } from "../physics/limits/resonance-limits.ts";
import { radialPerTorque } from "../physics/limits/shaft-limits.ts";
import { limitIndex, type Scan, see, share } from "./limit-scan.ts";

const GEARBOX_SHAFT = limitIndex("gearbox.shaft_load");
const MOTOR_SHAFT = limitIndex("motor.shaft_load");
const RESONANCE = limitIndex("axis.resonance");
const CRITICAL = limitIndex("axis.critical_speed");

/** Radial load on a shaft, least within the duty's range of carried mass. @param allowed - undefined: not known */
function seeShaft(scan: Scan, limit: number, duty: Duty, allowed: number | undefined): void {
  const perTorque = radialPerTorque(duty);
  if (perTorque === 0) return;
  if (allowed !== undefined) {
    see(scan, limit, (perTorque * Math.max(0, duty.peakTorque.value - duty.slack.peak)) / allowed);
  } else if (duty.axis.needs.rejectUnknown) see(scan, limit, Number.POSITIVE_INFINITY);
}

/** Notes the radial load on a gearbox's output shaft. */
export function seeGearboxShaft(scan: Scan, duty: Duty, { radialLoad }: Gearbox): void {
  seeShaft(scan, GEARBOX_SHAFT, duty, radialLoad);
}

/** Notes the radial load on the shaft of a motor without a gearbox. */
export function seeMotorShaft(scan: Scan, duty: Duty, { radialLoad }: Motor): void {
  seeShaft(scan, MOTOR_SHAFT, duty, radialLoad);
}

/** The antiresonance with the least load within the duty's range of carried mass. @param wanted - [Hz] */
function seeResonance(
  scan: Scan,
  { duty, gearbox, wanted }: { duty: Duty; gearbox: Gearbox | undefined; wanted: number },
): void {
  if (duty.largestInertia - duty.slack.inertia <= 0) return;
  const spring = softest(duty, gearbox, duty.slack.inertia);
  see(scan, RESONANCE, share(wanted, spring === undefined ? 0 : antiresonance(spring)));
}

/** Notes the limits that the mechanism settles with a gearbox or without, whatever else is picked. */
export function mechanismFails(scan: Scan, duty: Duty, gearbox: Gearbox | undefined): void {
  const screwSpeed = allowedScrewSpeed(duty.axis.mechanism);
  if (screwSpeed !== undefined) see(scan, CRITICAL, share(duty.peakSpeed.value, screwSpeed));
  const wanted = wantedFrequency(duty.axis.needs);
  if (wanted !== undefined) seeResonance(scan, { duty, gearbox, wanted });
}
