import type { AnyPart, Drive, Resistor, Supply } from "../machine/catalogue.ts";
import type { Bus, Machine } from "../machine/problem.ts";
import type { AxisPick } from "./evaluate-pick.ts";

/** What feeds a bus; no supply only where the catalogues hold none. */
export interface BusPick {
  readonly supply: Supply | null;
  readonly resistor: Resistor | null;
}

export interface MachinePick {
  readonly axes: readonly AxisPick[];
  readonly buses: readonly BusPick[];
}

/** Motor with brake, and gearbox [kg]. */
export const ridingMass = ({ motor, gearbox }: Pick<AxisPick, "motor" | "gearbox">): number =>
  motor.mass + (gearbox?.mass ?? 0);

const named = (part: AnyPart | null): string => (part === null ? "-" : `${part.maker} / ${part.part}`);
export const pickKey = ({ motor, gearbox, drive, inductor }: AxisPick): string =>
  [motor, gearbox, drive, inductor].map(named).join(" | ");

/** Modules of a bus: axes with the same drive share them, channel by channel. */
export function modulesOn(machine: Machine, bus: Bus, axes: readonly AxisPick[]): Drive[] {
  const users = new Map<string, { drive: Drive; count: number }>();
  for (const [a, { drive }] of axes.entries()) {
    if (machine.axes[a]?.bus !== bus.id) continue;
    const entry = users.get(named(drive)) ?? { drive, count: 0 };
    users.set(named(drive), { drive, count: entry.count + 1 });
  }
  return [...users.values()].flatMap(({ drive, count }) =>
    Array.from({ length: Math.ceil(count / drive.channels) }, () => drive),
  );
}

/** Indices of the axes that ride on an axis, one on another included. */
export function ridersOf(machine: Machine, carrier: number): number[] {
  const direct = machine.axes.flatMap(({ carriedBy }, k) =>
    carriedBy !== undefined && carriedBy === machine.axes[carrier]?.id ? [k] : [],
  );
  return direct.flatMap((k) => [k, ...ridersOf(machine, k)]);
}
