import { type Judged, judgeAxis } from "../candidates/judge-axis.ts";
import { type Tally, newTally } from "../candidates/tally.ts";
import type { Catalogue } from "../machine/catalogue.ts";
import { type Duty, dutyOf } from "../physics/duty/duty.ts";
import type { PickParts } from "../physics/limits/pick-duty.ts";
import { ridingMass } from "./answer.ts";
import type { MassCase } from "./mass-cases.ts";
import type { AxisSetup } from "./setup.ts";

/** A candidate that passes its axis's limits in at least one case of carried mass. */
export interface AxisColumn extends PickParts {
  /** Identifies motor and gearbox within the axis. */
  readonly pair: number;
  /** Motor and gearbox [kg]. */
  readonly mass: number;
  /** Cases (by index) in which it passes. */
  readonly cases: readonly number[];
  /** Largest carried mass it passes with [kg]; Infinity where nothing rides on the axis. */
  readonly capacity: number;
  /** Peak torque of the first passing case, as judged [N·m]. */
  readonly peakTorque: number;
}

/** Candidates of one axis with the duties they were judged on, one per case of carried mass. */
export interface AxisColumns {
  readonly setup: AxisSetup;
  readonly cases: readonly MassCase[];
  readonly duties: readonly Duty[];
  readonly columns: readonly AxisColumn[];
  /** Of the first case. */
  readonly tally: Tally;
}

/** Judges an axis in every case of carried mass. Cost grows with the number of cases. */
export function axisColumns(setup: AxisSetup, catalogue: Catalogue, cases: readonly MassCase[]): AxisColumns {
  const duties = cases.map((range) => dutyOf(setup.axis, setup.cycle, range));
  const input = { axis: setup.axis, site: setup.site, bus: setup.voltage, catalogue, fit: setup.fit };
  const judged = duties.map((duty) => judgeAxis(input, duty));
  const columns = cases.length === 1 ? single(judged[0], catalogue, cases) : merged(judged, catalogue, cases);
  return { setup, cases, duties, columns, tally: judged[0]?.tally ?? newTally() };
}

interface Place {
  readonly motor: number;
  readonly gearbox: number;
  readonly drive: number;
  readonly inductor: number;
  readonly peakTorque: number;
}

function placesOf({ pairs, pair, drive, inductor }: Judged): Place[] {
  return pair.flatMap((at, k) => {
    const found = pairs[at];
    return found === undefined ? [] : [{ ...found, drive: drive[k] ?? -1, inductor: inductor[k] ?? -1 }];
  });
}

function single(judged: Judged | undefined, catalogue: Catalogue, cases: readonly MassCase[]): AxisColumn[] {
  if (judged === undefined) return [];
  return placesOf(judged).flatMap((place) => columnOf(place, catalogue, { passing: [0], cases }));
}

function merged(judged: readonly Judged[], catalogue: Catalogue, cases: readonly MassCase[]): AxisColumn[] {
  const found = new Map<string, { place: Place; passing: number[] }>();
  judged.forEach((one, c) => {
    for (const place of placesOf(one)) {
      const key = `${place.motor} ${place.gearbox} ${place.drive} ${place.inductor}`;
      const entry = found.get(key);
      if (entry === undefined) found.set(key, { place, passing: [c] });
      else entry.passing.push(c);
    }
  });
  return [...found.values()].flatMap(({ place, passing }) => columnOf(place, catalogue, { passing, cases }));
}

function columnOf(
  place: Place,
  { motors, gearboxes, drives, inductors }: Catalogue,
  { passing, cases }: { passing: readonly number[]; cases: readonly MassCase[] },
): AxisColumn[] {
  const [motor, drive] = [motors[place.motor], drives[place.drive]];
  if (motor === undefined || drive === undefined) return [];
  const parts = { motor, gearbox: gearboxes[place.gearbox], drive, inductor: inductors[place.inductor] };
  return [
    {
      ...parts,
      pair: place.motor * (gearboxes.length + 1) + place.gearbox + 1,
      mass: ridingMass(parts),
      cases: passing,
      capacity: Math.max(...passing.map((c) => cases[c]?.high ?? 0)),
      peakTorque: place.peakTorque,
    },
  ];
}
