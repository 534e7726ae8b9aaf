import { type Drive, partKey } from "../machine/catalogue.ts";
import type { MachineAnswer } from "./answer.ts";
import type { MachineSetup } from "./setup.ts";

/** One drive module and the axes it feeds. */
export interface ModuleAnswer {
  readonly drive: Drive;
  /** Index of its bus. */
  readonly bus: number;
  /** Axis indices, at most one per channel. */
  readonly axes: readonly number[];
}

/** Drive modules of a machine: axes of one bus with the same drive share modules, in file order. */
export function modulesOf({ axes }: MachineSetup, answer: MachineAnswer): ModuleAnswer[] {
  const groups = new Map<string, { drive: Drive; bus: number; axes: number[] }>();
  answer.axes.forEach(({ drive }, index) => {
    const bus = axes[index]?.bus ?? 0;
    const key = `${bus} ${partKey(drive)}`;
    const group = groups.get(key) ?? { drive, bus, axes: [] };
    groups.set(key, group);
    group.axes.push(index);
  });
  return [...groups.values()].flatMap(({ drive, bus, axes: fed }) =>
    Array.from({ length: Math.ceil(fed.length / drive.channels) }, (_, k) => ({
      drive,
      bus,
      axes: fed.slice(k * drive.channels, (k + 1) * drive.channels),
    })),
  );
}
