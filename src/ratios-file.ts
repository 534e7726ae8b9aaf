import { dutiesOf } from "./decide/judged-axis.ts";
import { isSetup, setupOf } from "./decide/setup.ts";
import type { Fault, Result } from "./faults/fault.ts";
import { changedInput, missing } from "./faults/wordings.ts";
import { type ProblemInput, readProblem } from "./input/read-problem.ts";
import { type ResultRead, readResult } from "./input/read-result.ts";
import type { RatiosDocument, RatiosOptions } from "./machine/ratios.ts";
import type { AxisResult } from "./machine/result.ts";
import { carriedMass } from "./ratios/carried-mass.ts";
import { motorOverRatios } from "./ratios/motor-ratios.ts";
import { axisNamed, motorsNamed } from "./ratios/named.ts";
import { type RatiosSource, ratiosDocument } from "./ratios/ratios-document.ts";
import { worthLooking } from "./ratios/shown.ts";
import { standings, usableMotors } from "./ratios/standing.ts";
import { fittingMotors, type IndexedMotor, type Subject } from "./ratios/subject.ts";
import { surveyOf } from "./ratios/survey.ts";
import { motionFaults } from "./result/motion-faults.ts";
import { VERSION } from "./version.ts";

/**
 * The gear ratio trade-off of one axis: for each motor every limit over the ratio, the windows in which all pass, and the
 * real gearboxes judged in full. Nothing is solved: what rides on the axis is taken from a result, or as light as it can be.
 *
 * @param path - of the problem
 * @param axis - its id, or `machine/axis`
 * @returns every fault in problem, result and names; names that the caller gave have the option as their place
 */
export async function ratiosFile(path: string, axis: string, options: RatiosOptions): Promise<Result<RatiosDocument>> {
  const input = await readProblem(path);
  if (!input.ok) return input;
  const setup = setupOf(input.value.problem, input.value.catalogue);
  if (!isSetup(setup)) return { ok: false, faults: motionFaults(path, setup, input.value.problem) };
  const placed = axisNamed(setup, axis);
  if (!placed.ok) return placed;
  const result = await solvedResult(options.result, input.value);
  if (!result.ok) return result;

  const carried = carriedMass(setup, placed.value, result.value?.document);
  const { machine, axis: own } = placed.value;
  const duties = dutiesOf(own, { low: carried.mass, high: carried.mass });
  const subject: Subject = { setup, machine, axis: own, carried: carried.mass, duties };
  const usable = usableMotors(subject);
  const asked = motorsNamed(subject, options.motors, usable);
  if (!asked.ok) return asked;
  const picked = result.value === undefined ? undefined : axisOf(result.value, subject);
  const facts = { input: input.value, version: VERSION, carried, picked, result: result.value?.input };
  const motors = lookedAt(subject, { usable, asked: asked.value, picked });
  return { ok: true, value: ratiosDocument({ ...facts, subject, ...motors }) };
}

interface Looking {
  readonly usable: readonly IndexedMotor[];
  readonly asked: readonly IndexedMotor[];
  readonly picked: AxisResult | undefined;
}

type Looked = Pick<RatiosSource, "asked" | "motors" | "others" | "unusable">;

/** The motors asked for, else those worth it, closely; then how the others stand, too. */
function lookedAt(subject: Subject, { usable, asked, picked }: Looking): Looked {
  const isAsked = asked.length > 0;
  const all = isAsked ? [] : standings(subject, usable);
  const shown = isAsked ? asked : worthLooking(subject, all, picked?.motor);
  const survey = surveyOf(subject, shown, true);
  const seen = new Set(shown.map(({ index }) => index));
  return {
    asked: isAsked,
    motors: shown.map((motor) => motorOverRatios(subject, motor, survey)),
    others: all.filter(({ index }) => !seen.has(index)),
    unusable: fittingMotors(subject).length - usable.length,
  };
}

/** The result that was named, which must be of the same input and have an answer. */
async function solvedResult(
  path: string | undefined,
  { inputs }: ProblemInput,
): Promise<Result<ResultRead | undefined>> {
  if (path === undefined) return { ok: true, value: undefined };
  const read = await readResult(path);
  if (!read.ok) return read;
  const stated = read.value.document;
  const faults: Fault[] = [];
  if (hashesOf(stated.inputs) !== hashesOf(inputs)) {
    const found = "a result of other content of problem or catalogues";
    faults.push(changedInput({ file: path, pointer: "/inputs" }, found, "a result of this problem as it now is"));
  }
  if (stated.machines.length === 0)
    faults.push(missing({ file: path, pointer: "/machines" }, "no picks", "those of a solved order"));
  return faults.length > 0 ? { ok: false, faults } : { ok: true, value: read.value };
}

function hashesOf({ problem, catalogs, tables = [] }: ProblemInput["inputs"]): string {
  return [problem, ...catalogs, ...tables]
    .map(({ sha256 }) => sha256)
    .toSorted()
    .join();
}

function axisOf({ document }: ResultRead, { machine, axis }: Subject): AxisResult | undefined {
  return document.machines.find(({ id }) => id === machine.machine.id)?.axes.find(({ id }) => id === axis.axis.id);
}
