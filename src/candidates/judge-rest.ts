import { allowedAtRest, heldLongerThan } from "../physics/limits/rest-limits.ts";
import type { Pair } from "./judge-pair.ts";
import { limitIndex, type Scan, see, share } from "./limit-scan.ts";

const STANDSTILL = limitIndex("motor.standstill_torque");

/** Torque at standstill: the least that is held for so long within the duty's range of carried mass. */
export function seeStandstill(scan: Scan, { row: { motor, rating }, geared: { ratio }, duty }: Pair): void {
  const { holds, slack, axis } = duty;
  if (motor.windingTime === undefined) {
    const isSure = (holds[0]?.torque ?? 0) > slack.peak;
    if (axis.needs.rejectUnknown && isSure) see(scan, STANDSTILL, Number.POSITIVE_INFINITY);
    return;
  }
  const held = heldLongerThan(holds, motor.windingTime);
  if (held === undefined) return;
  see(scan, STANDSTILL, share(Math.max(0, held.torque - slack.peak) / ratio, allowedAtRest(motor, rating)));
}
