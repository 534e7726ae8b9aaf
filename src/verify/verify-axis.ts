import type { AxisResult } from "../machine/result.ts";
import type { AxisVerification, BoundCheck } from "../machine/verification.ts";
import { compareFigure, compareLimits, type Figure } from "./compare.ts";
import type { OrderOracle } from "./evaluate-machine.ts";
import type { AxisPick, Check, PickVerdict } from "./evaluate-pick.ts";
import { simulatedRipple } from "./pwm-ripple.ts";

/** One axis of a result with its pick and what simulates it. */
export interface AxisSource {
  readonly oracle: OrderOracle;
  /** Index of the machine, and of the axis in it. */
  readonly m: number;
  readonly a: number;
  readonly stated: AxisResult;
  readonly pick: AxisPick;
  /** Mass of the parts that ride on the axis [kg]. */
  readonly carried: number;
  /** Highest bus voltage without chopper [V]. */
  readonly high: number;
  readonly currency: string;
}

/** Every limit and figure of an axis beside its simulation. */
export function verifyAxis(source: AxisSource): AxisVerification {
  const { oracle, m, a, stated, pick, carried, currency } = source;
  const verdict = oracle.simulate(m, a, pick, carried);
  const { unfit } = oracle.judge(m, a, pick, carried);
  // A drive that cannot bear the bus does not fit; how high the bus goes is a limit of the bus.
  const ofBus = verdict.limits.filter(({ id }) => id === BUS);
  const runs = oracle.runs(m).map(({ oracle: run, ...mode }) => {
    return { ...mode, checks: run.simulate(m, a, pick, carried).limits.filter(({ id }) => id !== BUS) };
  });
  const compared = compareLimits(stated.limits, runs, currency);
  const figures = figuresOf(source).map((figure) => compareFigure(figure, currency));
  const failed = verdict.unchecked.filter(({ passes }) => !passes).map(({ id, missing }) => `no ${missing} for ${id}`);
  return {
    id: stated.id,
    parts: partNames(pick),
    compared: [...compared, ...figures],
    not_checked: verdict.unchecked.map(({ id }) => id),
    unfit: [...(unfit === null ? [] : [unfit]), ...failed, ...ofBus.flatMap(busReason)],
    bounds: rippleBound(source, verdict),
  };
}

const BUS = "drive.bus_voltage";

function busReason({ passes }: Check): string[] {
  return passes ? [] : ["drive below the bus voltage"];
}

function partNames({ motor, gearbox, drive, inductor }: AxisPick): string[] {
  return [motor, gearbox, drive, inductor].flatMap((part) => (part === null ? [] : [part.part]));
}

function figuresOf({ stated, pick, carried }: AxisSource): Figure[] {
  return [
    { id: "ratio", unit: "1", stated: stated.ratio, simulated: pick.gearbox?.ratio ?? 1 },
    { id: "carried_mass", unit: "kg", stated: stated.carried_mass, simulated: carried },
    { id: "current_limit", unit: "A", stated: stated.settings.current_limit, simulated: currentLimit(pick) },
  ];
}

/** Highest current to set: what drive, motor and the gearbox's emergency torque bear [A rms]. Source: common practice, no source. */
function currentLimit({ motor, gearbox, drive }: AxisPick): number {
  const motorPeak = motor.peakCurrent ?? motor.peakTorque / motor.torqueConstant;
  if (gearbox?.emergencyTorque === undefined) return Math.min(drive.peakCurrent, motorPeak);
  return Math.min(drive.peakCurrent, motorPeak, gearbox.emergencyTorque / (gearbox.ratio * motor.torqueConstant));
}

/** The worst ripple at any depth of modulation against that at the deepest of this axis. */
function rippleBound({ stated, pick, high }: AxisSource, { limits }: PickVerdict): BoundCheck[] {
  const limit = stated.limits.find(({ id }) => id === "drive.ripple_current");
  const voltage = limits.find(({ id }) => id === "motor.voltage");
  if (limit === undefined || voltage === undefined) return [];
  const inductance = pick.motor.inductance / 2 + (pick.inductor?.inductance ?? 0);
  const simulated = simulatedRipple(pick.drive, voltage.demand, high, inductance);
  return [boundOf({ id: limit.id, unit: limit.unit, stated: limit.demand, simulated, because: "modulation" })];
}

/** A bound holds where the simulation stays at or below it, the tolerance of a comparison aside. */
export function boundOf(bound: Omit<BoundCheck, "room" | "holds">): BoundCheck {
  const { stated, simulated } = bound;
  const room = stated > 0 ? (stated - simulated) / stated : 0;
  return { ...bound, room, holds: simulated <= stated * 1.001 + 1e-9 };
}
