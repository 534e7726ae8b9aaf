import { access } from "node:fs/promises";
import { dirname, isAbsolute, join, relative } from "node:path";
import type { Fault, Result } from "./faults/fault.ts";
import { changedInput } from "./faults/wordings.ts";
import type { ProblemInput } from "./input/read-problem.ts";
import { readResult } from "./input/read-result.ts";
import type { InputFile } from "./machine/problem.ts";
import type { ResultDocument } from "./machine/result.ts";
import type { Series, VerificationDocument, VerifyOptions, VerifyOutcome } from "./machine/verification.ts";
import { proofOfOthers, proofOfResult } from "./prove-file.ts";
import { checkProblem } from "./result/check-problem.ts";
import { picksOf } from "./verify/picks.ts";
import { seriesOf } from "./verify/series.ts";
import { emptyOrder, type OrderVerification, verifyOrder } from "./verify/verify-order.ts";
import { VERSION } from "./version.ts";

/**
 * Verifies a result file: finds its problem and catalogues, simulates its picks in time steps, and compares every limit
 * and figure it states. Nothing of the formulas that made the result is used. That no order is cheaper is proved again from
 * the certificate, with them but without searching.
 *
 * @param path - of the result document
 */
export async function verifyResult(path: string, options: VerifyOptions): Promise<Result<VerifyOutcome>> {
  const read = await readResult(path);
  if (!read.ok) return read;
  const { document: stated, input } = read.value;
  const file = options.problem ?? (await problemPath(path, stated.inputs.problem.path));
  const problem = await checkProblem(file);
  if (!problem.ok) return problem;
  const changed = changedFiles({ path, stated }, file, problem.value.inputs);
  if (changed.length > 0 && !options.allowChanged) return { ok: false, faults: changed };
  const simulated = simulation(path, stated, problem.value);
  if (!simulated.ok) return simulated;
  const proof =
    changed.length > 0 ? proofOfOthers(stated) : await proofOfResult({ path, stated, input: problem.value });
  const inputs = { result: input, problem: problem.value.inputs.problem };
  const { verification, series } = simulated.value;
  const document = documentOf(verification, { proof, inputs, changed: changed.map(({ place }) => place.file) });
  return { ok: true, value: { document, series: options.series ? series() : [] } };
}

function documentOf(
  verification: OrderVerification,
  around: Pick<VerificationDocument, "proof" | "inputs" | "changed">,
): VerificationDocument {
  const agrees = verification.agrees && around.proof.status !== "refuted";
  return { format: "fewframe-verification/1", fewframe: VERSION, ...verification, agrees, ...around };
}

/** The picks simulated; without an answer there is nothing to simulate. */
function simulation(
  path: string,
  stated: ResultDocument,
  input: ProblemInput,
): Result<{ readonly verification: OrderVerification; readonly series: () => readonly Series[] }> {
  if (stated.machines.length === 0) return { ok: true, value: { verification: emptyOrder(stated), series: () => [] } };
  const machines = picksOf(path, stated, input);
  if (!machines.ok) return machines;
  const { verification, oracle } = verifyOrder({ ...input, stated, machines: machines.value });
  return { ok: true, value: { verification, series: () => seriesOf(oracle, machines.value) } };
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
  const before = placed(stated.inputs.problem.path, stated.inputs);
  const read = placed(file, now);
  const differing = read.flatMap((one) => {
    const known = before.find((other) => isSame(one, other))?.file;
    const found = one.file;
    return known?.sha256 === found.sha256
      ? []
      : [changedInput({ file: found.path, pointer: "" }, content(found), content(known))];
  });
  const gone = before.filter((one) => !read.some((other) => isSame(one, other)));
  return [
    ...differing,
    ...gone.map((old) =>
      changedInput({ file: path, pointer: "/inputs" }, `no file ${JSON.stringify(old.places[0])}`, content(old.file)),
    ),
  ];
}

function content(file: InputFile | undefined): string {
  return file === undefined ? "no such file, as in the result" : `content of SHA-256 ${file.sha256.slice(0, 12)}...`;
}

/** An input file and the names of its place. */
interface Placed {
  readonly file: InputFile;
  readonly places: readonly string[];
}

/** Every input file with its place: seen from the problem's folder, because result and problem may have moved together. */
function placed(problem: string, { problem: own, catalogs, tables = [] }: ProblemInput["inputs"]): Placed[] {
  const others = [...catalogs, ...tables].map((file) => ({ file, places: placesOf(problem, file.path) }));
  return [{ file: own, places: ["the problem"] }, ...others];
}

/** A whole path is a place, too: the problem may name it so, and then it need not move with the problem. */
function placesOf(problem: string, path: string): string[] {
  const seen = isAbsolute(problem) === isAbsolute(path) ? [relative(dirname(problem), path)] : [];
  return isAbsolute(path) ? [...seen, path] : seen;
}

function isSame(one: Placed, other: Placed): boolean {
  return one.places.some((place) => other.places.includes(place));
}
