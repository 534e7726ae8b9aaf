import { axisChecks } from "./axis-checks.ts";
import { busChecks } from "./bus-checks.ts";
import type { Check } from "./check.ts";
import { driveChecks } from "./drive-checks.ts";
import { limitChecks } from "./limit-checks.ts";
import { mechanismChecks } from "./mechanism-checks.ts";
import { motionChecks } from "./motion-checks.ts";
import { motorChecks } from "./motor-checks.ts";
import { torqueChecks } from "./torque-checks.ts";
import { unitChecks } from "./unit-checks.ts";

/** Checks of one subject. */
export interface Section {
  readonly title: string;
  readonly checks: readonly Check[];
}

/** Every check, in the order of the table. */
export async function allChecks(): Promise<Section[]> {
  return [
    { title: "Motion", checks: motionChecks() },
    { title: "Mechanisms", checks: mechanismChecks() },
    { title: "Gears, RMS torque, equivalent torque", checks: torqueChecks() },
    { title: "Motor: constants, copper, voltage, heat, overload", checks: motorChecks() },
    { title: "Drive and rectifier", checks: driveChecks() },
    { title: "DC bus", checks: busChecks() },
    { title: "Screws, shafts, resonance, torque at rest", checks: axisChecks() },
    { title: "Limits that are rules of the trade", checks: limitChecks() },
    { title: "Units", checks: await unitChecks() },
  ];
}
