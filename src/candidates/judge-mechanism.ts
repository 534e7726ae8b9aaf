import type { Duty } from "../physics/duty/duty.ts";
import { allowedScrewSpeed } from "../physics/limits/axis-limits.ts";
import { limitIndex, type Scan, see, share } from "./limit-scan.ts";

const CRITICAL = limitIndex("axis.critical_speed");

/** Notes the limits that the mechanism settles whatever is picked. */
export function mechanismFails(scan: Scan, duty: Duty): void {
  const screwSpeed = allowedScrewSpeed(duty.axis.mechanism);
  if (screwSpeed !== undefined) see(scan, CRITICAL, share(duty.peakSpeed.value, screwSpeed));
}
