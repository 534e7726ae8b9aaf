import type { RunDuties } from "../decide/judged-axis.ts";
import type { AxisSetup, MachineSetup, Setup } from "../decide/setup.ts";
import type { Motor } from "../machine/catalogue.ts";

/** An axis with its surroundings, and what it has to do in each run of its machine. */
export interface AxisWork {
  readonly axis: Pick<AxisSetup, "axis" | "site" | "voltage">;
  readonly duties: RunDuties;
}

/** The axis whose ratios are looked at, at the mass that rides on it. */
export interface Subject extends AxisWork {
  readonly setup: Setup;
  readonly machine: MachineSetup;
  readonly axis: AxisSetup;
  /** [kg] */
  readonly carried: number;
}

/** A motor of the catalogue with its index there. */
export interface IndexedMotor {
  readonly motor: Motor;
  readonly index: number;
}

/** Motors that fit the axis, in the order of the catalogues. */
export function fittingMotors({ setup, axis }: Pick<Subject, "setup" | "axis">): IndexedMotor[] {
  return axis.fit.motors.flatMap((index) => {
    const motor = setup.catalogue.motors[index];
    return motor === undefined ? [] : [{ motor, index }];
  });
}
