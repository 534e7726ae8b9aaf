import { createHash } from "node:crypto";
import { basename, extname } from "node:path";
import { type DecideOptions, decide } from "./decide/decide.ts";
import { judgedAxes } from "./decide/narrow.ts";
import { searching } from "./decide/searching.ts";
import { isSetup, setupOf } from "./decide/setup.ts";
import { type Start, startOf } from "./decide/start.ts";
import type { ExplainContext } from "./explain/context.ts";
import { axisObstacles, explain, explainInfeasible } from "./explain/explain.ts";
import type { Result } from "./faults/fault.ts";
import { type ProblemInput, readProblem } from "./input/read-problem.ts";
import type { ResultDocument } from "./machine/result.ts";
import type { SolveFileOptions, SolveFileOutcome } from "./machine/run.ts";
import type { Findings } from "./prove/findings.ts";
import { type Recorder, recorder } from "./prove/recorder.ts";
import { certificateText } from "./result/certificate-text.ts";
import { modelText } from "./result/model-text.ts";
import { motionFaults } from "./result/motion-faults.ts";
import { type DocumentInput, resultDocument } from "./result/result-document.ts";
import { type Stopwatch, stopwatch } from "./result/stopwatch.ts";
import { VERSION } from "./version.ts";

/** The whole job for a problem among others much like it. */
export interface SolveReadOptions extends SolveFileOptions {
  /** What those ended with; of no use to a certificate. */
  readonly start?: Start | undefined;
}

export interface SolveReadOutcome extends SolveFileOutcome {
  /** The start with what this one ended with. */
  readonly start: Start | undefined;
}

/** The whole job: a problem file becomes a result document, or every fault in the input. */
export async function solveFile(path: string, options: SolveFileOptions): Promise<Result<SolveFileOutcome>> {
  return solveRead(path, async () => readProblem(path), options);
}

/**
 * The whole job for a problem that comes from elsewhere than its file.
 *
 * @param path - of the problem file, for faults and names
 * @param read - hands over the input
 */
export async function solveRead(
  path: string,
  read: () => Promise<Result<ProblemInput>>,
  options: SolveReadOptions,
): Promise<Result<SolveReadOutcome>> {
  const { engine, aborted, progress, start } = options;
  const watch = stopwatch(options);
  const input = await watch.time("read", read);
  if (!input.ok) return input;
  const setup = setupOf(input.value.problem, input.value.catalogue);
  if (!isSetup(setup)) return { ok: false, faults: motionFaults(path, setup, input.value.problem) };

  const judged = await watch.time("judge", () => judgedAxes(setup));
  const around = { engine, secondsLeft: watch.secondsLeft, aborted };
  const deciding = { ...around, start, ties: true, progress: (note: string) => progress({ phase: "solve", note }) };
  const notes = options.certificate === false ? undefined : recorder();
  const decision = await watch.time("solve", () => decide(setup, listened(deciding, notes), judged));
  const context = {
    setup,
    decision,
    ...around,
    progress: (done: number, total: number) => progress({ phase: "explain", done, total }),
  };
  const reasons = await reasonsOf(context, options, watch);
  const { certificate, hash } = proofOf(path, notes?.findings());
  const facts = { ...reasons, certificate: hash, fewframe: VERSION, engine, timing: watch.laps() };
  const document = resultDocument({ ...input.value, setup, decision, ...facts });
  return {
    ok: true,
    value: {
      document,
      certificate,
      modelText: options.writeModel ? modelText(decision) : undefined,
      start: startOf(decision, start),
    },
  };
}

/** What holds each axis of an answer, or why there is none. */
async function reasonsOf(
  context: ExplainContext,
  { explain: isWanted, conflict, explainTime }: SolveFileOptions,
  watch: Stopwatch,
): Promise<Reasons> {
  const { status } = context.decision;
  const timed = { ...context, secondsLeft: watch.lasting(explainTime) };
  const wantsReasons = isWanted && status === "optimal";
  const explanation = wantsReasons ? await watch.time("explain", () => explain(timed)) : undefined;
  const infeasible = conflict === false ? axisObstacles : explainInfeasible;
  const obstacles = status === "infeasible" ? await watch.time("explain", () => infeasible(timed)) : [];
  return { explanation, obstacles };
}

type Reasons = Pick<DocumentInput, "explanation" | "obstacles">;

/** Deciding by searching, with notes taken of what is found. */
function listened(deciding: DecideOptions, notes: Recorder | undefined): DecideOptions {
  if (notes === undefined) return deciding;
  return { ...deciding, finderOf: (court) => notes.around(searching(court, deciding)) };
}

/** Text of the certificate file, and what the document says of it. */
function proofOf(
  path: string,
  findings: Findings | undefined,
): { certificate: string | undefined; hash: ResultDocument["certificate"] } {
  if (findings === undefined || findings.steps.length === 0) return { certificate: undefined, hash: null };
  const certificate = certificateText(findings);
  const file = `${basename(path, extname(path))}.certificate.json`;
  return { certificate, hash: { file, sha256: createHash("sha256").update(certificate).digest("hex") } };
}
