import type { EvaluatedAxis } from "../decide/evaluate.ts";
import type { Run } from "../decide/setup.ts";
import { entryOf } from "../faults/entry-of.ts";
import type { Limit } from "../machine/limit.ts";
import { outputTurns } from "../machine/mechanism.ts";
import type { AxisResult, DropResult } from "../machine/result.ts";
import { dropOf } from "../physics/limits/drop.ts";
import { timeAtPeak } from "../physics/limits/peak-time.ts";
import { reachOf } from "../physics/limits/reach.ts";
import { bindingResult, withPrice } from "./bindings.ts";
import { hangs } from "./hangs.ts";
import type { MachineSource } from "./machine-result.ts";
import { namesOf } from "./part-names.ts";
import { byUtilisation } from "./table-units.ts";

/** One axis of the result: its parts, limits and what holds it. */
export function axisResult(source: MachineSource, index: number): AxisResult {
  const { setup, evaluated, table } = source;
  const { axis } = entryOf(setup.axes, index);
  const own = entryOf(evaluated.axes, index);
  const { tally } = entryOf(source.judged, index);
  const binding = bindingResult(source.axesFound?.[index], table, outputTurns(axis.mechanism));
  return {
    id: axis.id,
    bus: axis.bus,
    ...pickOf(own),
    price: table.figure(axisPrice(source, index, own), "cent"),
    carried_mass: table.figure(own.carried, "kg"),
    limits: withPrice(limitsOf(own).map(table.limit), binding).toSorted(byUtilisation),
    not_checked: own.judgement.unchecked,
    settings: { current_limit: table.figure(currentLimit(own), "A") },
    region: regionOf(own, table),
    drop: dropResult(source, own),
    ...stoppingDistance(source, own),
    starts_per_hour: startsPerHour(own, setup.runs),
    binding,
    candidates: { judged: tally.judged, passed: tally.passed },
  };
}

/** Over all runs, by their shares of the time. */
function startsPerHour({ runs: evaluated }: EvaluatedAxis, runs: readonly Run[]): number {
  return evaluated.reduce(
    (sum, { pick: { duty } }, k) => sum + (entryOf(runs, k).share * duty.starts * 3600) / duty.period,
    0,
  );
}

/** The limits with how long the motor is at its peak at a stretch, the longest of all runs. */
function limitsOf({ judgement, runs }: EvaluatedAxis): Limit[] {
  const value = Math.max(...runs.map(({ pick }) => timeAtPeak(pick)));
  const beside = { name: "longest at 95 % of the peak or more", value, unit: "s" } as const;
  return judgement.limits.map((limit) => (limit.id === "motor.peak_torque" ? { ...limit, beside } : limit));
}

/** v·T/2: an axis that goes evenly from its largest speed to rest. Source: kinematics. */
function stoppingDistance(
  { setup, table }: MachineSource,
  { runs }: EvaluatedAxis,
): Pick<AxisResult, "stopping_distance"> {
  const time = setup.machine.emergencyStopTime;
  if (time === undefined) return {};
  const ways = runs.map(({ pick: { duty } }) => (duty.travel * duty.peakSpeed.value * time) / 2);
  const unit = outputTurns(entryOf(runs, 0).pick.duty.axis.mechanism) ? "rad" : "m";
  return { stopping_distance: { value: Math.max(...ways), unit: table.unit(unit) } };
}

type PickMembers =
  | "motor"
  | "motor_maker"
  | "motor_frame"
  | "construction"
  | "brake"
  | "gearbox"
  | "gearbox_maker"
  | "ratio"
  | "drive"
  | "drive_maker"
  | "inductor"
  | "inductor_maker";

function pickOf({ pick: { motor, drive, ratio, ...rest } }: EvaluatedAxis): Pick<AxisResult, PickMembers> {
  const [gearbox, inductor] = [namesOf(rest.gearbox), namesOf(rest.inductor)];
  return {
    motor: motor.part,
    motor_maker: motor.maker,
    motor_frame: motor.frame.trim(),
    construction: motor.construction,
    brake: motor.brakeTorque !== undefined,
    gearbox: gearbox.id,
    gearbox_maker: gearbox.maker,
    ratio,
    drive: drive.part,
    drive_maker: drive.maker,
    inductor: inductor.id,
    inductor_maker: inductor.maker,
  };
}

function regionOf({ pick }: EvaluatedAxis, table: MachineSource["table"]): AxisResult["region"] {
  const { speed, peak, continuous } = reachOf(pick);
  const torques = (values: readonly number[]): number[] => values.map((value) => table.figure(value, "N*m"));
  return {
    speed: speed.map((value) => table.figure(value, "rad/s")),
    peak: torques(peak),
    continuous: torques(continuous),
  };
}

/** The farthest drop of all runs. */
function dropResult({ setup, table }: MachineSource, own: EvaluatedAxis): DropResult | null {
  const { pick, runs } = own;
  const { axis } = pick.duty;
  if (pick.motor.brakeTorque === undefined || !hangs(setup, own)) return null;
  const of = outputTurns(axis.mechanism) ? "rad" : "m";
  const time = pick.motor.brakeCloseTime;
  if (time === undefined) {
    return { brake_close_time: null, from_standstill: null, from_motion: null, unit: table.unit(of) };
  }
  const drops = runs.map((run) => dropOf(run.pick, time));
  return {
    brake_close_time: time,
    from_standstill: table.figure(Math.max(...drops.map(({ fromStandstill }) => fromStandstill)), of),
    from_motion: table.figure(Math.max(...drops.map(({ fromMotion }) => fromMotion)), of),
    unit: table.unit(of),
  };
}

/** Unit prices of the axis's parts; a drive module's price is split over the axes it feeds [cent]. */
function axisPrice({ price, evaluated }: MachineSource, index: number, { pick }: EvaluatedAxis): number {
  const fed = evaluated.modules.find(({ axes }) => axes.includes(index))?.axes.length ?? 1;
  return price(pick.motor) + price(pick.gearbox) + price(pick.inductor) + price(pick.drive) / fed;
}

/**
 * Highest current to set in the drive: the least of what drive and motor bear and of what brings the gearbox to its
 * emergency torque, T/(i·Kt) [A rms]. So an emergency stop at the limit of the drive cannot break the gearbox.
 *
 * Source: common practice, no source.
 */
function currentLimit({ pick: { motor, gearbox, drive, ratio } }: EvaluatedAxis): number {
  const motorPeak = motor.peakCurrent ?? motor.peakTorque / motor.torqueConstant;
  const emergency = gearbox?.emergencyTorque ?? Number.POSITIVE_INFINITY;
  return Math.min(drive.peakCurrent, motorPeak, emergency / (ratio * motor.torqueConstant));
}
