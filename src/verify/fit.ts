import type { Gearbox, Motor, PartBase } from "../machine/catalogue.ts";
import type { Axis, Problem } from "../machine/problem.ts";
import { ratioOf } from "./duty.ts";
import { type AxisPick, needsBrake } from "./evaluate-pick.ts";

const names = (list: readonly string[], part: PartBase): boolean => list.includes(part.part);

/** A reason, and whether it applies. */
type Reason = readonly [string, boolean];

/**
 * First reason why the parts do not fit together or are not allowed on this axis; null: none.
 *
 * @param staticTorque - largest torque at rest at the mechanism's shaft [N·m]
 */
export function unfitReason(problem: Problem, axis: Axis, pick: AxisPick, staticTorque: number): string | null {
  const reasons = [
    ...orderReasons(problem, axis, pick),
    ...gearReasons(axis, pick.motor, pick.gearbox),
    ...feedbackReasons(axis, pick, staticTorque),
    ...sizeReasons(axis, pick.motor),
    ...textReasons(axis, pick),
  ];
  return reasons.find(([, applies]) => applies)?.[0] ?? null;
}

function orderReasons({ forbid }: Problem, { allow }: Axis, { motor, gearbox, drive, inductor }: AxisPick): Reason[] {
  const parts = [motor, gearbox, drive, inductor].filter((part) => part !== null);
  const { makers, motors, drives, constructions } = allow;
  return [
    ["forbidden part", parts.some((part) => names(forbid.parts, part))],
    ["forbidden maker", parts.some((part) => forbid.makers.includes(part.maker))],
    ["maker", makers !== undefined && parts.some((part) => !makers.includes(part.maker))],
    ["motor not listed", motors !== undefined && !names(motors, motor)],
    ["drive not listed", drives !== undefined && !names(drives, drive)],
    ["construction", constructions !== undefined && !constructions.includes(motor.construction)],
  ];
}

function gearReasons({ allow }: Axis, motor: Motor, gearbox: Gearbox | null): Reason[] {
  if (gearbox === null) return [["gearless", !allow.gearless]];
  const { gearboxes, gearboxKinds, ratios } = allow;
  return [
    ["gearbox not listed", gearboxes !== undefined && !names(gearboxes, gearbox)],
    ["gearbox kind", gearboxKinds !== undefined && !gearboxKinds.includes(gearbox.style)],
    ["frame", !gearbox.motorFrames.map((f) => f.trim()).includes(motor.frame.trim())],
    ["ratio", ratios !== undefined && (gearbox.ratio < ratios[0] || gearbox.ratio > ratios[1])],
  ];
}

function feedbackReasons(axis: Axis, { motor, gearbox, drive }: AxisPick, staticTorque: number): Reason[] {
  const { feedback } = axis.needs;
  const braked = needsBrake(axis, staticTorque / ratioOf(gearbox));
  return [
    ["feedback wanted", feedback !== undefined && !feedback.includes(motor.feedback)],
    ["feedback of the drive", !drive.feedback.includes(motor.feedback)],
    ["alignment move", motor.feedback === "encoder-incremental" && braked],
  ];
}

function sizeReasons({ needs }: Axis, motor: Motor): Reason[] {
  const { ip, maxLength, maxWidth } = needs;
  return [
    ["ip", ip !== undefined && (motor.ip === undefined || !ip.includes(motor.ip))],
    ["length", maxLength !== undefined && motor.length > maxLength],
    ["width", maxWidth !== undefined && motor.width > maxWidth],
  ];
}

function textReasons({ needs }: Axis, { motor, gearbox, drive, inductor }: AxisPick): Reason[] {
  const byKind: Record<string, PartBase | null> = { motor, gearbox, drive, inductor };
  return Object.entries(needs.match).map(([key, wanted]) => {
    const [kind = "", column = ""] = key.split(".");
    const part = byKind[kind];
    const clash = part !== null && part !== undefined && !wanted.includes((part.texts[column] ?? "").trim());
    return [`match ${key}`, clash];
  });
}
