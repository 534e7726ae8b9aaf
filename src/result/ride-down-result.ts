import type { EvaluatedAxis } from "../decide/evaluate.ts";
import type { SupplyOption } from "../decide/supply-options.ts";
import { entryOf } from "../faults/entry-of.ts";
import type { Drive } from "../machine/catalogue.ts";
import type { RideDownResult } from "../machine/result.ts";
import { rampTime } from "../physics/duty/ramp.ts";
import { stopStretches } from "../physics/duty/stops.ts";
import { capacitorEnergy, capacitorVoltage } from "../physics/power/capacitor-fall.ts";
import { type DyingBus, type RideDown, type Rider, rideDown } from "../physics/power/ride-down.ts";
import { hangs } from "./hangs.ts";
import type { MachineSource } from "./machine-result.ts";

/** A bus with what hangs on it. */
interface HangingBus {
  readonly axes: readonly RidingAxis[];
  readonly drives: readonly Drive[];
}

interface RidingAxis {
  readonly index: number;
  readonly own: EvaluatedAxis;
  readonly hangs: boolean;
  /** In which it stops [s]. */
  readonly ramp: number;
}

/** What becomes of a bus whose mains fail, in the worst of all runs; null where nothing hangs on it or nothing feeds it. */
export function rideDownResult(source: MachineSource, bus: number): RideDownResult | null {
  const { setup, evaluated } = source;
  const { supply } = entryOf(source.options, bus);
  const given = setup.machine.emergencyStopTime;
  const axes = evaluated.axes.flatMap((own, index) => {
    if (entryOf(setup.axes, index).bus !== bus) return [];
    const ramp = given ?? rampTime(own.runs.map(({ pick }) => pick.duty));
    return [{ index, own, ramp, hangs: hangs(setup, own) }];
  });
  if (supply === undefined || !axes.some((axis) => axis.hangs)) return null;
  const drives = evaluated.modules.filter((module) => module.bus === bus).map(({ drive }) => drive);
  const ramp = Math.max(...axes.filter((axis) => axis.hangs).map((axis) => axis.ramp));
  const hanging = { axes, drives };
  const known = knownOf(source, hanging);
  const worst = worstRun(source, bus, hanging);
  return {
    ramp: { value: ramp, assumed: given === undefined },
    ...known,
    start_voltage: entryOf(setup.buses, bus).voltage.low,
    ...worst,
    carries: carriesOf(worst, ramp, known),
  };
}

type Known = Pick<RideDownResult, "brakes_grip" | "axes" | "bus_min" | "unknown">;

/** What the catalogues say of the brakes and drives concerned. */
function knownOf({ setup }: MachineSource, { axes, drives }: HangingBus): Known {
  const hanging = axes.filter((axis) => axis.hangs);
  const grips = hanging.filter(({ own: { pick } }) => isBraked(pick.motor)).map((axis) => axis.ramp + holdOf(axis));
  const lowest = drives.flatMap(({ busMin }) => busMin ?? []);
  const nameOf = ({ index }: RidingAxis): string => entryOf(setup.axes, index).axis.id;
  const silent = hanging.filter(({ own: { pick } }) => isBraked(pick.motor) && pick.motor.brakeCloseTime === undefined);
  const motors = silent.map(({ own: { pick } }) => ({ part: pick.motor.part, missing: "brake_close_time" }));
  const needed = drives.filter(({ busMin }) => busMin === undefined).map(({ part }) => ({ part, missing: "bus_min" }));
  return {
    axes: hanging.map((axis) => ({ id: nameOf(axis), brake: isBraked(axis.own.pick.motor) })),
    brakes_grip: grips.length > 0 && grips.every(Number.isFinite) ? Math.max(...grips) : null,
    bus_min: lowest.length === 0 ? null : Math.max(...lowest),
    unknown: [...new Map([...motors, ...needed].map((one) => [JSON.stringify(one), one])).values()],
  };
}

function isBraked({ brakeTorque }: EvaluatedAxis["pick"]["motor"]): boolean {
  return brakeTorque !== undefined;
}

/** How long a hanging axis is held after its ramp [s]: until its brake grips; Infinity: it has none, or nobody knows. */
function holdOf({ own: { pick } }: RidingAxis): number {
  return isBraked(pick.motor) ? (pick.motor.brakeCloseTime ?? Number.POSITIVE_INFINITY) : Number.POSITIVE_INFINITY;
}

type Worst = Pick<RideDownResult, "lowest_voltage" | "lowest_after" | "lost_after" | "time" | "mode">;

/** The lowest voltage of all runs, and the soonest loss of control. */
function worstRun(source: MachineSource, bus: number, hanging: HangingBus): Worst {
  const { setup } = source;
  const capacitance = capacitanceOf(source, bus, hanging.drives);
  const runs = setup.runs.map(({ mode }, run) => ({ mode, down: rideDown(dyingBus(source, bus, hanging, run)) }));
  const isEmptied = runs.some(({ down }) => down.lowest === Number.NEGATIVE_INFINITY);
  const lost = Math.min(...runs.map(({ down }) => down.lost ?? Number.POSITIVE_INFINITY));
  const rank = ({ lowest, lost: after = Number.POSITIVE_INFINITY }: RideDown): number => (isEmptied ? after : lowest);
  const [worst] = runs.toSorted((one, other) => rank(one.down) - rank(other.down));
  if (worst === undefined) throw new RangeError("no run");
  const { down, mode } = worst;
  return {
    lowest_voltage: isEmptied ? null : capacitorVoltage(capacitance, down.lowest),
    lowest_after: isEmptied ? null : down.at,
    lost_after: Number.isFinite(lost) ? lost : null,
    time: down.time,
    ...(mode === undefined ? {} : { mode }),
  };
}

function capacitanceOf({ options }: MachineSource, bus: number, drives: readonly Drive[]): number {
  return drives.reduce((sum, { capacitance }) => sum + capacitance, entryOf(options, bus).supply?.capacitance ?? 0);
}

function dyingBus(source: MachineSource, bus: number, { axes, drives }: HangingBus, run: number): DyingBus {
  const { setup } = source;
  const riders = axes.map((axis): Rider => {
    const { pick } = entryOf(axis.own.runs, run);
    const { cycle } = entryOf(entryOf(setup.axes, axis.index).runs, run);
    const stopping = { axis: pick.duty.axis, carried: axis.own.carried, time: axis.ramp };
    const held = axis.hangs ? { hold: holdOf(axis) } : {};
    return { pick, ramp: axis.ramp, stretches: stopStretches(stopping, cycle), ...held };
  });
  const { low, high } = entryOf(setup.buses, bus).voltage;
  const energyAt = (voltage: number): number => capacitorEnergy(capacitanceOf(source, bus, drives), voltage);
  return {
    inside: riders.filter(({ pick }) => pick.duty.axis.inCycle),
    outside: riders.filter(({ pick }) => !pick.duty.axis.inCycle),
    period: entryOf(setup.runs, run).cycle,
    fixedLoss: drives.reduce((sum, { fixedLoss }) => sum + fixedLoss, 0),
    capacitors: {
      start: energyAt(low),
      most: energyAt(chopperOf(entryOf(source.options, bus), { low, high })),
      least: energyAt(Math.max(0, ...drives.flatMap(({ busMin }) => busMin ?? []))),
    },
  };
}

/** Highest voltage at which what comes back is kept [V]: without mains nothing is fed back. */
function chopperOf({ supply }: SupplyOption, { low, high }: { low: number; high: number }): number {
  return Math.max(low, supply?.chopperVoltage ?? high);
}

/** Whether the drives hold until the last brake grips; null: what decides it is not in the catalogues. */
function carriesOf({ lost_after: lost }: Worst, ramp: number, { axes, unknown }: Known): boolean | null {
  const isUnknown = (column: string): boolean => unknown.some(({ missing }) => missing === column);
  if (lost === null) return isUnknown("bus_min") ? null : true;
  // Whenever the silent brakes grip: by the end of the ramp none is even told to, and what has none is lost for sure.
  const isSure = lost <= ramp || !isUnknown("brake_close_time") || axes.some(({ brake }) => !brake);
  return isSure ? false : null;
}
