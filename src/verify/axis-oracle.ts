import type { Gearbox, Motor } from "../machine/catalogue.ts";
import type { Axis, Machine, Problem, Site } from "../machine/problem.ts";
import { type Duty, dutyOf } from "./duty.ts";
import { type AxisPick, busVoltage, hottestWinding, type PickVerdict, pickVerdict } from "./evaluate-pick.ts";
import { unfitReason } from "./fit.ts";
import { type AxisMotion, type Grid, gridOf, motionOf, type Sampled, sampled } from "./motion.ts";
import { type Shaft, shaftOf } from "./shaft.ts";
import { tracesOf } from "./traces.ts";

/** Judges picks of one axis by stepping through its motion; keeps what only depends on the axis and the carried mass. */
export interface AxisOracle {
  readonly axis: Axis;
  readonly motion: AxisMotion;
  /** The axis at every node of its own period, or of a grid of the machine cycle; carried mass in kg. */
  readonly shaft: (carried: number, grid?: Grid) => Shaft;
  /** Every limit of a pick that needs neither the supply nor the other axes. */
  readonly judge: (pick: AxisPick, carried: number) => PickVerdict;
  /** The same without looking whether the parts fit. */
  readonly simulate: (pick: AxisPick, carried: number) => PickVerdict;
  /** Electrical power at the bus at every node, without the drive's fixed loss [W]. */
  readonly power: (pick: AxisPick, carried: number, grid?: Grid) => Float64Array;
}

/**
 * @param steps - least sub-steps of each piece of the motion
 */
export function axisOracle(problem: Problem, machine: Machine, axis: Axis, steps = 400): AxisOracle {
  const bus = machine.buses.find(({ id }) => id === axis.bus);
  if (bus === undefined) throw new Error(`axis ${axis.id} names no bus`);
  const motion = motionOf(axis, machine.cycle);
  const own = gridOf([motion], motion.period, steps, steps);
  const shaft = keptShafts(axis, motion, own);
  const strain = keptStrains(problem.site, axis, shaft);
  const voltage = busVoltage(problem.site, bus);
  const simulate: AxisOracle["simulate"] = (pick, carried) =>
    pickVerdict({ site: problem.site, axis, pick, shaft: shaft(carried), ...strain(pick, carried), ...voltage });
  return {
    axis,
    motion,
    shaft,
    simulate,
    judge: (pick, carried) => {
      const low = pick.drive.busMin !== undefined && pick.drive.busMin > voltage.low;
      const unfit =
        unfitReason(problem, axis, pick, shaft(carried).staticTorque) ?? (low ? "bus voltage too low" : null);
      if (unfit !== null) return { passes: false, unfit, limits: [], unchecked: [], worst: Infinity };
      return simulate(pick, carried);
    },
    power: (pick, carried, grid) => tracesOf(axis, pick, shaft(carried, grid)).power,
  };
}

/** Shafts by carried mass, on the axis's own nodes and on the latest other ones. */
function keptShafts(axis: Axis, motion: AxisMotion, own: Grid): AxisOracle["shaft"] {
  const shafts = new Map<string, Shaft>();
  const motions = new Map<Grid, Sampled>();
  return (carried, grid = own) => {
    const key = `${grid === own ? "own" : "bus"} ${carried}`;
    const known = shafts.get(key);
    if (known !== undefined && known.sampled.grid === grid) return known;
    const moved = motions.get(grid) ?? sampled(motion, grid);
    motions.set(grid, moved);
    const made = shaftOf(axis, carried, moved);
    shafts.set(key, made);
    return made;
  };
}

/** What a motor goes through behind a gearbox, whatever drives it: stepped through once. */
interface Strain {
  readonly duty: Duty;
  readonly hottest: number | null;
}

function keptStrains(site: Site, axis: Axis, shaft: AxisOracle["shaft"]): (pick: AxisPick, carried: number) => Strain {
  const strains = new Map<string, Strain>();
  return ({ motor, gearbox, inductor }, carried) => {
    const series = inductor?.inductance ?? 0;
    const key = [...named(motor), ...named(gearbox), series, carried].join("|");
    const known = strains.get(key);
    if (known !== undefined) return known;
    const duty = dutyOf(axis, shaft(carried), motor, gearbox, series);
    const made = { duty, hottest: hottestWinding(site, axis, motor, duty) };
    strains.set(key, made);
    return made;
  };
}

const named = (part: Motor | Gearbox | null): (string | undefined)[] => [part?.maker, part?.part];
