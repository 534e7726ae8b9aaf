import { entryOf } from "../../faults/entry-of.ts";
import type { Level } from "../plan/factor.ts";
import { placesOf, valueAt } from "../plan/places.ts";
import type { StudyRun } from "../plan/points.ts";
import type { Response, Study } from "../plan/study.ts";
import { type AxisPick, axisPicks } from "../runs/held.ts";
import type { RunRecord, RunResult } from "../runs/run.ts";

/** What a response can be: a number, a name, or null where a result has nothing at its place. */
export type ResponseValue = number | string | null;

/** One run of a study with what it came to. */
export interface StudyRow extends Omit<StudyRun, "index"> {
  /** Counted from 1. */
  readonly run: number;
  readonly status: RunRecord["status"];
  readonly reason: string | null;
  /** In the order of the study's responses. */
  readonly responses: readonly ResponseValue[];
  readonly picks: readonly AxisPick[];
}

/** Every run with its record, in the order of the study. */
export function rowsOf(
  { responses }: Study,
  runs: readonly StudyRun[],
  records: readonly RunRecord[],
): readonly StudyRow[] {
  return runs.map((run) => {
    const { status, reason, result } = entryOf(records, run.index);
    const { index, ...rest } = run;
    const read = responses.map((response) => responseOf(result, response));
    return { ...rest, run: index + 1, status, reason, responses: read, picks: axisPicks(result?.machines ?? []) };
  });
}

/** As many digits as documents keep, so that the last bits of a sum do not change the bytes of a file. */
const RESPONSE_DIGITS = 10;

function responseOf(result: RunResult | null, { at }: Response): ResponseValue {
  const [path] = result === null ? [] : placesOf(result, at, false);
  if (path === undefined) return null;
  const value = valueAt(result, path);
  if (typeof value === "number") return Number(value.toPrecision(RESPONSE_DIGITS));
  if (typeof value === "string") return value;
  // A gearless pick has null for its gearbox: a choice like others.
  if (value === null) return "none";
  return typeof value === "boolean" ? String(value) : null;
}

/** All factor values of a run, noise last. */
export function levelsOf({ levels, noiseLevels }: Pick<StudyRow, "levels" | "noiseLevels">): readonly Level[] {
  return [...levels, ...noiseLevels];
}
