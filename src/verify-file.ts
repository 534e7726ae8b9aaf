import { access } from "node:fs/promises";
import { dirname, isAbsolute, join, relative } from "node:path";
import type { Fault, Result } from "./faults/fault.ts";
import { changedInput, missing } from "./faults/wordings.ts";
import type { ProblemInput } from "./input/read-problem.ts";
import { readResult } from "./input/read-result.ts";
import type { InputFile } from "./machine/problem.ts";
import type { ResultDocument } from "./machine/result.ts";
import type { VerifyOptions, VerifyOutcome } from "./machine/verification.ts";
import { checkProblem } from "./result/check-problem.ts";
import { picksOf } from "./verify/picks.ts";
import { seriesOf } from "./verify/series.ts";
import { verifyOrder } from "./verify/verify-order.ts";
import { VERSION } from "./version.ts";

/**
 * Verifies a result file: finds its problem and catalogues, simulates its picks in time steps, and compares every limit
 * and figure it states. Nothing of the formulas that made the result is used.
 *
 * @param path - of the result document
 */
export async function verifyResult(path: string, options: VerifyOptions): Promise<Result<VerifyOutcome>> {
  const read = await readResult(path);
  if (!read.ok) return read;
  const { document: stated, input } = read.value;
  if (stated.machines.length === 0) {
    return {
      ok: false,
      faults: [missing({ file: path, pointer: "/machines" }, "no picks", "a result with an answer")],
    };
  }
  const file = options.problem ?? (await problemPath(path, stated.inputs.problem.path));
  const problem = await checkProblem(file);
  if (!problem.ok) return problem;
  const changed = changedFiles({ path, stated }, file, problem.value.inputs);
  if (changed.length > 0 && !options.allowChanged) return { ok: false, faults: changed };
  const machines = picksOf(path, stated, problem.value);
  if (!machines.ok) return machines;
  const { verification, oracle } = verifyOrder({ ...problem.value, stated, machines: machines.value });
  const document = {
    format: "fewframe-verification/1",
    fewframe: VERSION,
    ...verification,
    inputs: { result: input, problem: problem.value.inputs.problem },
    changed: changed.map(({ place }) => place.file),
  } as const;
  return { ok: true, value: { document, series: options.series ? seriesOf(oracle, machines.value) : [] } };
}

/** The problem beside the result; else, as in a result that was only printed, seen from the working directory. */
async function problemPath(result: string, named: string): Promise<string> {
  if (isAbsolute(named)) return named;
  const beside = join(dirname(result), named);
  try {
    await access(beside);
    return beside;
  } catch {
    return named;
  }
}

/** Input files whose bytes are not those the result was made from, or that came or went. */
function changedFiles(
  { path, stated }: { readonly path: string; readonly stated: ResultDocument },
  file: string,
  now: ProblemInput["inputs"],
): Fault[] {
  // Only the places seen from the problem count: result and problem may have moved together.
  const before = keyed(stated.inputs.problem, dirname(stated.inputs.problem.path), stated.inputs);
  const read = keyed(now.problem, dirname(file), now);
  const differing = [...read].filter(([key, { sha256 }]) => before.get(key)?.sha256 !== sha256);
  const gone = [...before].filter(([key]) => !read.has(key));
  return [
    ...differing.map(([key, found]) =>
      changedInput({ file: found.path, pointer: "" }, content(found), content(before.get(key))),
    ),
    ...gone.map(([key, old]) =>
      changedInput({ file: path, pointer: "/inputs" }, `no file ${JSON.stringify(key)}`, content(old)),
    ),
  ];
}

function content(file: InputFile | undefined): string {
  return file === undefined ? "no such file, as in the result" : `content of SHA-256 ${file.sha256.slice(0, 12)}...`;
}

/** Every input file by its place seen from the problem's folder. */
function keyed(
  problem: InputFile,
  folder: string,
  { catalogs, tables = [] }: ProblemInput["inputs"],
): Map<string, InputFile> {
  const others = [...catalogs, ...tables].map((file) => [relative(folder, file.path), file] as const);
  return new Map([["the problem", problem], ...others]);
}
