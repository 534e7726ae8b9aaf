import type { RunDuties } from "../decide/judged-axis.ts";
import type { AxisSetup, MachineSetup, Setup } from "../decide/setup.ts";
import type { Motor } from "../machine/catalogue.ts";

/** The axis whose ratios are looked at, with what it has to do at the mass that rides on it. */
export interface Subject {
  readonly setup: Setup;
  readonly machine: MachineSetup;
  readonly axis: AxisSetup;
  /** [kg] */
  readonly carried: number;
  /** In each run of the machine. */
  readonly duties: RunDuties;
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
