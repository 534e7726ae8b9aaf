import { DRIVE_STATE, type DriveStates } from "../candidates/judge-drives.ts";
import type { AnyPart, Catalogue } from "../machine/catalogue.ts";
import { MACHINE_SUMS, type MachineSum } from "../model/machine-sums.ts";
import { partsOfSupply } from "../model/order.ts";
import type { JudgedAxes } from "./field.ts";
import { filtered, type JudgedAxis } from "./judged-axis.ts";
import type { MachineSetup, Setup } from "./setup.ts";

/** What a candidate's part adds to a sum at least: a channel its share of the module. */
type Takes = (part: AnyPart) => number;

function leastOfSum({ of }: MachineSum): Takes {
  return (part) => (part.kind === "drive" ? of(part) / part.channels : of(part));
}

/** Rounding allowed on a cap that is met exactly, and in the sums here. */
const TOLERANCE = 2e-9;

/**
 * The candidates that caps on mass, cabinet width and price of each machine leave room for beside the least that its other
 * axes and its supplies take. Only what no order can contain is dropped.
 */
export function cappedAxes({ problem: { caps }, machines, catalogue }: Setup, judged: JudgedAxes): JudgedAxes {
  return MACHINE_SUMS.reduce<JudgedAxes>((before, sum) => {
    const allowed = caps[sum.cap];
    if (allowed === undefined) return before;
    const takes = leastOfSum(sum);
    const table = tableOf(catalogue, takes);
    return before.map((axes, m) => cappedMachine(axes, table, allowed * (1 + TOLERANCE) - ofBuses(machines[m], takes)));
  }, judged);
}

/** What the supplies of a machine take at least. */
function ofBuses(machine: MachineSetup | undefined, takes: Takes): number {
  const least = (options: MachineSetup["buses"][number]["options"]): number =>
    Math.min(...options.map((option) => partsOfSupply(option).reduce((sum, part) => sum + takes(part), 0)));
  return (machine?.buses ?? []).reduce((sum, { options }) => sum + (options.length === 0 ? 0 : least(options)), 0);
}

/** What each part takes, by catalogue index. Inductors are left out: they take nothing at least. */
interface Table {
  readonly motor: Float64Array;
  readonly gearbox: Float64Array;
  readonly drive: Float64Array;
}

function tableOf({ motors, gearboxes, drives }: Catalogue, takes: Takes): Table {
  return {
    motor: Float64Array.from(motors, takes),
    gearbox: Float64Array.from(gearboxes, takes),
    drive: Float64Array.from(drives, takes),
  };
}

function cappedMachine(axes: readonly JudgedAxis[], table: Table, room: number): readonly JudgedAxis[] {
  const least = axes.map((axis) => leastOf(axis, table));
  const all = least.reduce((sum, one) => sum + one, 0);
  return axes.map((axis, a) => roomy(axis, table, room - (all - (least[a] ?? 0))));
}

function ofPair(table: Table, { motor, gearbox }: { motor: number; gearbox: number }): number {
  return table.motor[motor]! + (gearbox < 0 ? 0 : table.gearbox[gearbox]!);
}

/** Least that a candidate of the axis takes; 0 where it has none. */
function leastOf({ looks }: JudgedAxis, table: Table): number {
  let least = Number.POSITIVE_INFINITY;
  for (const { judged } of looks) {
    judged.pairs.forEach((pair, p) => {
      const own = ofPair(table, pair);
      judged.states[p]!.state.forEach((how, drive) => {
        if (how !== DRIVE_STATE.rejected) least = Math.min(least, own + table.drive[drive]!);
      });
    });
  }
  return Number.isFinite(least) ? least : 0;
}

/** The same axis where nothing is dropped. */
function roomy(axis: JudgedAxis, table: Table, room: number): JudgedAxis {
  let isDropped = false;
  const kept = ({ state, ...of }: DriveStates, own: number): DriveStates | undefined => {
    const left = state.map((how, drive) => (own + table.drive[drive]! <= room ? how : DRIVE_STATE.rejected));
    if (left.every((how, drive) => how === state[drive])) return { state, ...of };
    isDropped = true;
    return left.some((how) => how !== DRIVE_STATE.rejected) ? { ...of, state: left } : undefined;
  };
  const looks = axis.looks.map((look) => ({
    ...look,
    judged: filtered(look.judged, (of, pair) => kept(of, ofPair(table, pair))),
  }));
  return isDropped ? { ...axis, looks } : axis;
}
