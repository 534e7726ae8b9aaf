import type { Catalogue, Motor } from "../../src/machine/catalogue.ts";
import type { LimitId } from "../../src/machine/limit.ts";
import type { Axis, Problem } from "../../src/machine/problem.ts";
import { ridersOf } from "../../src/verify/answer.ts";
import { type OrderOracle, orderOracle } from "../../src/verify/evaluate-machine.ts";
import type { AxisPick, PickVerdict } from "../../src/verify/evaluate-pick.ts";
import type { Dice } from "./random.ts";

/** An order while it is being made. */
export interface Draft {
  readonly problem: Problem;
  readonly catalogue: Catalogue;
}

type Change = (pick: AxisPick, by: number) => AxisPick;

const motorWith =
  (change: (motor: Motor, by: number) => Partial<Motor>): Change =>
  (pick, by) => ({ ...pick, motor: { ...pick.motor, ...change(pick.motor, by) } });
const gearboxWith =
  (
    key: "radialLoad" | "accelerationTorque" | "ratedTorque" | "emergencyTorque" | "maxInputSpeed" | "ratedInputSpeed",
  ): Change =>
  (pick, by) =>
    pick.gearbox === null ? pick : { ...pick, gearbox: { ...pick.gearbox, [key]: (pick.gearbox[key] ?? 1) * by } };
const driveWith =
  (key: "continuousCurrent" | "peakCurrent" | "maxFrequency" | "busMax"): Change =>
  (pick, by) => ({ ...pick, drive: { ...pick.drive, [key]: (pick.drive[key] ?? 1000) * by } });

/** Fewer turns: less voltage, more current, the same copper. */
const fewerTurns: Change = motorWith((m, by) => ({
  voltageConstant: m.voltageConstant / by,
  torqueConstant: m.torqueConstant / by,
  resistance: m.resistance / by ** 2,
  inductance: m.inductance / by ** 2,
}));

/** What to change of a pick so that a limit allows more. */
const RIGHTINGS: Partial<Record<LimitId, Change>> = {
  "motor.continuous_torque": motorWith((m, by) => ({
    stallTorque: m.stallTorque * by,
    ratedTorque: m.ratedTorque * by,
  })),
  "motor.winding_temperature": motorWith((m, by) => ({
    stallTorque: m.stallTorque * by,
    ratedTorque: m.ratedTorque * by,
  })),
  "motor.peak_torque": motorWith((m, by) => ({ peakTorque: m.peakTorque * by })),
  "motor.torque_at_speed": motorWith((m, by) => ({
    peakTorqueAtMaxSpeed: Math.min(m.peakTorque, (m.peakTorqueAtMaxSpeed ?? 0) * by),
  })),
  "motor.speed": motorWith((m, by) => ({ maxSpeed: m.maxSpeed * by, ratedSpeed: m.ratedSpeed * by })),
  "motor.voltage": fewerTurns,
  "motor.inertia_ratio": motorWith((m, by) => ({ rotorInertia: m.rotorInertia * by })),
  "motor.brake": motorWith((m, by) => (m.brakeTorque === undefined ? {} : { brakeTorque: m.brakeTorque * by })),
  "motor.standstill_torque": motorWith((m, by) => ({
    stallTorque: m.stallTorque * by,
    ratedTorque: m.ratedTorque * by,
    ...(m.standstillTorque === undefined ? {} : { standstillTorque: m.standstillTorque * by }),
  })),
  "gearbox.peak_torque": gearboxWith("accelerationTorque"),
  "gearbox.mean_torque": gearboxWith("ratedTorque"),
  "gearbox.emergency_torque": gearboxWith("emergencyTorque"),
  "gearbox.max_speed": gearboxWith("maxInputSpeed"),
  "gearbox.mean_speed": gearboxWith("ratedInputSpeed"),
  "motor.shaft_load": motorWith((m, by) => ({ radialLoad: (m.radialLoad ?? 1) * by })),
  "gearbox.shaft_load": gearboxWith("radialLoad"),
  "drive.continuous_current": driveWith("continuousCurrent"),
  "drive.peak_current": driveWith("peakCurrent"),
  "drive.overload": driveWith("continuousCurrent"),
  "drive.frequency": driveWith("maxFrequency"),
  "drive.bus_voltage": driveWith("busMax"),
  "drive.ripple_current": motorWith((m, by) => ({ inductance: m.inductance * by })),
};

/** Needs that fix what a limit allows. */
const ASKED: Partial<
  Record<LimitId, "detent" | "speedRipple" | "resolution" | "backlash" | "torqueRipple" | "bandwidth">
> = {
  "motor.detent": "detent",
  "motor.speed_ripple": "speedRipple",
  "motor.resolution": "resolution",
  "gearbox.backlash": "backlash",
  "axis.torque_ripple": "torqueRipple",
  "axis.resonance": "bandwidth",
};

/** Asks for less where an asked limit fails or cannot be judged. */
function relented(axis: Axis, verdict: PickVerdict, by: number): Axis {
  let { needs } = axis;
  for (const { id, passes, demand, allowed } of verdict.limits) {
    const key = ASKED[id];
    if (!passes && key === "bandwidth") {
      needs = { ...needs, bandwidth: allowed / by / (needs.resonanceFactor ?? 1) };
      continue;
    }
    if (!passes && key !== undefined) needs = { ...needs, [key]: demand * by };
  }
  for (const { id, passes } of verdict.unchecked) {
    if (passes) continue;
    const key = ASKED[id];
    if (key !== undefined) needs = { ...needs, [key]: undefined };
    else needs = { ...needs, rejectUnknown: false };
  }
  return { ...axis, needs };
}

/** No filters: any part that fits together is welcome. */
function opened(axis: Axis): Axis {
  const { ip: _ip, maxLength: _length, maxWidth: _width, feedback: _feedback, ...needs } = axis.needs;
  return { ...axis, needs: { ...needs, match: {} }, allow: { gearless: true } };
}

function failuresOf({ limits, unchecked }: PickVerdict): number {
  return limits.filter(({ passes }) => !passes).length + unchecked.filter(({ passes }) => !passes).length;
}

const price = ({ motor, gearbox, drive }: AxisPick): number =>
  [motor, gearbox, drive].reduce((sum, part) => sum + (part?.prices[0]?.price ?? 0), 0);

/** The pick that comes nearest to passing on an axis, with what it fails; undefined where nothing fits. */
export function nearestPick(
  oracle: OrderOracle,
  m: number,
  a: number,
  carried: number,
): { pick: AxisPick; verdict: PickVerdict } | undefined {
  const { motors, gearboxes, drives } = oracle.catalogue;
  return motors
    .flatMap((motor) =>
      [null, ...gearboxes].flatMap((gearbox) => drives.map((drive) => ({ motor, gearbox, drive, inductor: null }))),
    )
    .map((pick) => ({ pick, verdict: oracle.judge(m, a, pick, carried) }))
    .filter(({ verdict }) => verdict.unfit === null)
    .toSorted((x, y) => failuresOf(x.verdict) - failuresOf(y.verdict) || price(x.pick) - price(y.pick))[0];
}

const swapped = <T extends { part: string }>(list: readonly T[], part: T | null): T[] =>
  list.map((old) => (part !== null && old.part === part.part ? part : old));

/** Draft in which the nearest pick of every axis passes by a little more; `isDone` once all of them do. */
function repairedOnce(draft: Draft, dice: Dice): { draft: Draft; isDone: boolean } {
  let { problem, catalogue } = draft;
  let isDone = true;
  const oracle = orderOracle(problem, catalogue, 40);
  for (const [m, machine] of problem.machines.entries()) {
    const chosen: (AxisPick | undefined)[] = machine.axes.map(() => undefined);
    const order = machine.axes
      .map((_, k) => k)
      .toSorted((x, y) => ridersOf(machine, x).length - ridersOf(machine, y).length);
    for (const a of order) {
      const axis = machine.axes[a];
      const nearest = nearestPick(oracle, m, a, oracle.carried(m, a, chosen));
      chosen[a] = nearest?.pick;
      if (axis === undefined || (nearest !== undefined && nearest.verdict.passes)) continue;
      isDone = false;
      const changed = nearest === undefined ? opened(axis) : relented(axis, nearest.verdict, dice.between(1.02, 1.5));
      problem = withAxis(problem, m, a, changed);
      if (nearest === undefined) catalogue = opener(catalogue);
      else catalogue = withPick(catalogue, righted(nearest.pick, nearest.verdict, dice));
    }
  }
  return { draft: { problem, catalogue }, isDone };
}

function withAxis(problem: Problem, m: number, a: number, axis: Axis): Problem {
  const machines = problem.machines.map((machine, k) => {
    if (k !== m) return machine;
    return { ...machine, axes: machine.axes.map((old, j) => (j === a ? axis : old)) };
  });
  return { ...problem, machines };
}

/** Two motors with another feedback and every frame on the gearboxes: something fits together. */
function opener(catalogue: Catalogue): Catalogue {
  const motors = catalogue.motors.map((motor, k) =>
    k < 2 ? { ...motor, feedback: "encoder-absolute" as const } : motor,
  );
  const drives = catalogue.drives.map((drive) => ({
    ...drive,
    feedback: [...new Set([...drive.feedback, "encoder-absolute" as const])],
  }));
  return { ...catalogue, motors, drives };
}

function righted(pick: AxisPick, verdict: PickVerdict, dice: Dice): AxisPick {
  let changed = pick;
  for (const { id, passes, demand, allowed } of verdict.limits) {
    if (passes) continue;
    if (id === "motor.brake" && allowed === 0) {
      const brakeTorque = Number((demand * dice.between(1.02, 1.6)).toPrecision(3));
      changed = {
        ...changed,
        motor: { ...changed.motor, brakeTorque, brakeInertia: changed.motor.rotorInertia * 0.1 },
      };
    }
    const by = allowed > 0 ? (demand / allowed) * dice.between(1.02, 1.3) : 2;
    changed = RIGHTINGS[id]?.(changed, Math.min(20, by)) ?? changed;
  }
  return { ...changed, motor: sound(changed.motor) };
}

/** Peak above continuous torque, and no less current at the peak than without saturation. */
function sound(motor: Motor): Motor {
  const peakTorque = Math.max(motor.peakTorque, 1.2 * motor.stallTorque);
  if (motor.peakCurrent === undefined) return { ...motor, peakTorque };
  return { ...motor, peakTorque, peakCurrent: Math.max(motor.peakCurrent, peakTorque / motor.torqueConstant) };
}

function withPick(catalogue: Catalogue, { motor, gearbox, drive }: AxisPick): Catalogue {
  return {
    ...catalogue,
    motors: swapped(catalogue.motors, motor),
    gearboxes: swapped(catalogue.gearboxes, gearbox),
    drives: swapped(catalogue.drives, drive),
  };
}

/** Makes an order that some answer nearly fits into one that it fits, most limits by a hair. */
export function repaired(draft: Draft, dice: Dice): Draft {
  let now = draft;
  for (let round = 0; round < 8; round++) {
    const { draft: next, isDone } = repairedOnce(now, dice);
    if (isDone) break;
    now = next;
  }
  return now;
}
