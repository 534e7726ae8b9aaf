import type { Drive, Supply } from "../machine/catalogue.ts";
import type { Axis, Bus } from "../machine/problem.ts";
import { type MachinePick, modulesOn } from "./answer.ts";
import type { AxisOracle } from "./axis-oracle.ts";
import { capacitanceOf } from "./bus-limits.ts";
import { courseFrom, type Dying } from "./course.ts";
import { type Course, type Emptying, emptied, type Store, takenAt } from "./empty-bus.ts";
import type { OrderOracle } from "./evaluate-machine.ts";
import { busVoltage } from "./evaluate-pick.ts";
import type { Shaft } from "./shaft.ts";
import { nodesNear, spreadNodes } from "./stop.ts";

/** A bus whose mains fail, as stepped through: the lowest voltage [V], null where it is emptied in the end, and the loss of control [s]. */
export interface RideDown {
  readonly lowest: number | null;
  readonly lost: number | null;
  /** The voltage it begins at [V]. */
  readonly start: number;
  /** When all is over that is known to end: stops, and brakes that grip [s]. */
  readonly end: number;
}

/**
 * The mains of a bus fail at any node of any run: axes stop, hanging ones are held until their brakes grip, capacitors feed
 * them. Null where nothing hangs on the bus, or nothing feeds it.
 */
export function steppedRideDown(oracle: OrderOracle, m: number, bus: Bus, pick: MachinePick): RideDown | null {
  const machine = oracle.problem.machines[m];
  const supply = pick.buses[machine?.buses.indexOf(bus) ?? -1]?.supply ?? null;
  if (supply === null || machine === undefined) return null;
  const axes = machine.axes.flatMap((axis, a) => (axis.bus === bus.id ? dyingAxis(oracle, m, a, pick) : []));
  if (!axes.some(({ hold }) => hold !== undefined)) return null;
  const drives = modulesOn(machine, bus, pick.axes);
  const capacitance = supply.capacitance + capacitanceOf(drives);
  const voltages = busVoltage(oracle.problem.site, bus);
  const store = storeOf(capacitance, supply, drives, voltages);
  const watts = drives.reduce((sum, { fixedLoss }) => sum + fixedLoss, 0);
  const worst = worstOf(oracle.runs(m).map(({ oracle: run }) => worstOfRun({ run, m, axes, store, watts })));
  const voltage = Math.sqrt(Math.max(0, (2 * worst.lowest) / capacitance));
  return {
    lowest: worst.lowest === -Infinity ? null : voltage,
    lost: worst.lost < Infinity ? worst.lost : null,
    start: voltages.low,
    end: knownEnd(axes),
  };
}

function storeOf(
  capacitance: number,
  { chopperVoltage }: Supply,
  drives: readonly Drive[],
  { low, high }: { readonly low: number; readonly high: number },
): Store {
  const energy = (voltage: number): number => 0.5 * capacitance * voltage ** 2;
  return {
    start: energy(low),
    most: energy(Math.max(low, chopperVoltage ?? high)),
    least: energy(drives.reduce((most, { busMin = 0 }) => Math.max(most, busMin), 0)),
  };
}

function worstOf(all: readonly Emptying[]): Emptying {
  return all.reduce((worst, { lowest, lost }) => ({
    lowest: Math.min(worst.lowest, lowest),
    lost: Math.min(worst.lost, lost),
  }));
}

function dyingAxis(oracle: OrderOracle, m: number, a: number, { axes }: MachinePick): Dying[] {
  const pick = axes[a];
  if (pick === undefined) return [];
  const carried = oracle.carried(m, a, axes);
  const runs = oracle.runs(m).map(({ oracle: run }) => run.axis(m, a));
  const given = oracle.problem.machines[m]?.emergencyStopTime;
  const ramp = given ?? Math.max(...runs.map((run) => rampOf(run.shaft(carried))));
  if (!runs.some(({ axis }) => hangs(axis, carried))) return [{ a, pick, carried, ramp }];
  const { brakeTorque, brakeCloseTime = Infinity } = pick.motor;
  return [{ a, pick, carried, ramp, hold: brakeTorque === undefined ? Infinity : brakeCloseTime }];
}

const largest = (values: Float64Array): number => values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);

/** From the highest speed to rest at the largest acceleration [s]; 0 where it never speeds up. */
function rampOf({ speed, acceleration }: Shaft): number {
  const hardest = largest(acceleration);
  return hardest > 0 ? largest(speed) / hardest : 0;
}

/** Weight or imbalance pulls at it, a counterbalance not trusted; of a measured shaft what it holds in a row at rest. */
function hangs({ mechanism, load, motion }: Axis, carried: number): boolean {
  if (mechanism.kind === "measured") {
    const { speed, torque } = mechanism;
    return torque.values.some((held, row) => speed.values[row] === 0 && Math.abs(held) > 1e-6);
  }
  if (mechanism.kind === "rotary") return load.imbalance !== 0 && Math.abs(Math.sin(load.tilt)) > 1e-9;
  const heaviest = motion.reduce((most, { payload }) => Math.max(most, Math.abs(payload)), load.mass + carried);
  return heaviest > 0 && Math.abs(Math.sin(load.incline)) > 1e-9;
}

interface RunOfBus {
  readonly run: OrderOracle;
  readonly m: number;
  readonly axes: readonly Dying[];
  readonly store: Store;
  readonly watts: number;
}

/** Instants of a period are looked at in so many steps around the worst of the first look. */
const CLOSER = 60;

function worstOfRun({ run, m, axes, store, watts }: RunOfBus): Emptying {
  const grips = axes.flatMap(({ ramp, hold }) => (hold === undefined ? [] : [ramp + hold]));
  const end = Math.max(...grips);
  const known = end < Infinity ? end : knownEnd(axes);
  const [inside, outside] = [true, false].map((own) => axes.filter(({ a }) => run.axis(m, a).axis.inCycle === own));
  const others = (outside ?? []).map((dying) => hungriest(run.axis(m, dying.a), dying, known));
  const at = (node: number): Emptying => {
    const own = (inside ?? []).map((dying) => courseFrom(run.axis(m, dying.a), dying, node, run.grid(m)));
    return emptied([...own, ...others], store, { end, watts });
  };
  const { time } = run.grid(m);
  const found = lookedAt(time).map((node) => ({ node, ...at(node) }));
  const [lowest] = found.toSorted((x, y) => x.lowest - y.lowest);
  const [soonest] = found.toSorted((x, y) => x.lost - y.lost);
  const closer = [lowest, soonest].flatMap((one) => nodesCloseTo(one?.node ?? 0, time.length));
  return worstOf([...found, ...[...new Set(closer)].map(at)]);
}

function knownEnd(axes: readonly Dying[]): number {
  return Math.max(...axes.map(({ ramp, hold = 0 }) => (hold < Infinity ? ramp + hold : ramp)));
}

/** Nodes spread over a period, and both sides of borders between its pieces as far as they are not too many. */
function lookedAt(time: Float64Array): number[] {
  const borders = [...time.keys()].filter((k) => time[k] === time[k - 1] || time[k] === time[k + 1]);
  const stride = Math.ceil(borders.length / 400);
  return [...new Set([...spreadNodes(time.length), ...borders.filter((_, k) => k % stride === 0)])];
}

function nodesCloseTo(node: number, count: number): number[] {
  const all = nodesNear(node, count);
  const stride = Math.ceil(all.length / CLOSER);
  return all.filter((_, k) => k % stride === 0);
}

/** An axis with a period of its own from the node at which it takes most until a time. */
function hungriest(oracle: AxisOracle, dying: Dying, until: number): Course {
  const { time } = oracle.shaft(dying.carried).sampled.grid;
  const courses = (nodes: readonly number[]): { node: number; course: Course; taken: number }[] =>
    nodes
      .map((node) => ({ node, course: courseFrom(oracle, dying, node) }))
      .map((one) => ({ ...one, taken: takenAt(one.course, until) }))
      .toSorted((x, y) => y.taken - x.taken);
  const [first] = courses(lookedAt(time));
  const [best] = courses(nodesCloseTo(first?.node ?? 0, time.length));
  const chosen = (best?.taken ?? -Infinity) > (first?.taken ?? -Infinity) ? best : first;
  return chosen?.course ?? { times: [0], taken: [0], after: 0 };
}
