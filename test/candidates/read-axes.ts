import { fileURLToPath } from "node:url";
import { type AxisSetup, isSetup, setupOf } from "../../src/decide/setup.ts";
import { readProblem } from "../../src/input/read-problem.ts";
import type { Catalogue } from "../../src/machine/catalogue.ts";
import { type Duty, dutyOf, type MassRange } from "../../src/physics/duty/duty.ts";
import { judgePick, type PickJudgement } from "../../src/physics/limits/judge-pick.ts";
import { pickDuty } from "../../src/physics/limits/pick-duty.ts";

/** An axis of a shipped problem with the catalogues it is judged against. */
export interface ReadAxis {
  readonly name: string;
  readonly axis: AxisSetup;
  readonly catalogue: Catalogue;
}

/** Every axis of a shipped problem. */
export async function readAxes(problem: string): Promise<ReadAxis[]> {
  const read = await readProblem(fileURLToPath(new URL(`../../problems/${problem}.json`, import.meta.url)));
  if (!read.ok) throw new Error(`${problem} has ${read.faults.length} faults`);
  const setup = setupOf(read.value.problem, read.value.catalogue);
  if (!isSetup(setup)) throw new Error(`${problem} has a motion that cannot be`);
  return setup.machines.flatMap(({ axes }) =>
    axes.map((axis) => ({ name: `${problem} ${axis.axis.id}`, axis, catalogue: setup.catalogue })),
  );
}

export function dutyWith({ axis: { axis, cycle } }: ReadAxis, carried: MassRange): Duty {
  return dutyOf(axis, cycle, carried);
}

/** Parts by catalogue index; −1: none. */
export interface Indices {
  readonly motor: number;
  readonly gearbox: number;
  readonly drive: number;
  readonly inductor: number;
}

export const NO_INDUCTOR = -1;

export function keyOf({ motor, gearbox, drive, inductor }: Indices): string {
  return `${motor} ${gearbox} ${drive} ${inductor}`;
}

/** The exact judgement of a pick. */
export function judgeExactly({ axis, catalogue }: ReadAxis, duty: Duty, pick: Indices): PickJudgement {
  const [motor, drive] = [catalogue.motors[pick.motor], catalogue.drives[pick.drive]];
  if (motor === undefined || drive === undefined) throw new Error(`no such pick: ${keyOf(pick)}`);
  const parts = {
    motor,
    drive,
    gearbox: catalogue.gearboxes[pick.gearbox],
    inductor: catalogue.inductors[pick.inductor],
  };
  return judgePick(pickDuty(duty, parts, { site: axis.site, bus: axis.voltage }));
}
