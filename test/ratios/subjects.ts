import { dutiesOf } from "../../src/decide/judged-axis.ts";
import { isSetup, type Setup, setupOf } from "../../src/decide/setup.ts";
import { loadProblemReader } from "../../src/input/read-problem.ts";
import { carriedMass } from "../../src/ratios/carried-mass.ts";
import { axisNamed } from "../../src/ratios/named.ts";
import type { Subject } from "../../src/ratios/subject.ts";

const read = await loadProblemReader();

/** A shipped problem made ready. */
async function setupOfProblem(name: string): Promise<Setup> {
  const input = await read(`problems/${name}.json`);
  if (!input.ok) throw new Error(JSON.stringify(input.faults));
  const setup = setupOf(input.value.problem, input.value.catalogue);
  if (!isSetup(setup)) throw new Error(JSON.stringify(setup));
  return setup;
}

/** An axis of a shipped problem with the lightest riders. */
export async function subjectOf(name: string, axis: string): Promise<Subject> {
  const setup = await setupOfProblem(name);
  const placed = axisNamed(setup, axis);
  if (!placed.ok) throw new Error(JSON.stringify(placed.faults));
  const carried = carriedMass(setup, placed.value, undefined).mass;
  return { setup, ...placed.value, carried, duties: dutiesOf(placed.value.axis, { low: carried, high: carried }) };
}
