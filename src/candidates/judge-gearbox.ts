import type { Gearbox } from "../machine/catalogue.ts";
import type { Duty } from "../physics/duty/duty.ts";
import { seeGearboxShaft } from "./judge-mechanism.ts";
import { limitIndex, type Scan, see, share } from "./limit-scan.ts";

const PEAK = limitIndex("gearbox.peak_torque");
const MEAN = limitIndex("gearbox.mean_torque");
const MAX_SPEED = limitIndex("gearbox.max_speed");
const MEAN_SPEED = limitIndex("gearbox.mean_speed");
const BACKLASH = limitIndex("gearbox.backlash");
const EMERGENCY = limitIndex("gearbox.emergency_torque");

/** Notes the limits that gearbox and duty settle without a motor. */
export function gearboxFails(scan: Scan, duty: Duty, gearbox: Gearbox): void {
  const { needs } = duty.axis;
  see(scan, PEAK, ((duty.peakTorque.value - duty.slack.peak) * needs.gearboxShock) / gearbox.accelerationTorque);
  see(scan, MEAN, (duty.equivalentTorque - duty.slack.equivalent) / gearbox.ratedTorque);
  if (gearbox.emergencyTorque === undefined && needs.rejectUnknown) see(scan, EMERGENCY, Number.POSITIVE_INFINITY);
  see(scan, MAX_SPEED, (gearbox.ratio * duty.peakSpeed.value) / gearbox.maxInputSpeed);
  see(scan, MEAN_SPEED, (gearbox.ratio * duty.meanSpeed) / gearbox.ratedInputSpeed);
  seeGearboxShaft(scan, duty, gearbox);
  if (needs.backlash !== undefined) see(scan, BACKLASH, share(gearbox.backlash * duty.travel, needs.backlash));
}
