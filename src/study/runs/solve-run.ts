import { dirname, relative, resolve } from "node:path";
import type { Fault } from "../../faults/fault.ts";
import { faultLine, sortFaults } from "../../faults/fault-line.ts";
import type { VariantReader } from "../../input/read-problem.ts";
import type { ResultDocument } from "../../machine/result.ts";
import { type SolveReadOptions, solveRead } from "../../solve-file.ts";
import type { RunRecord, RunResult, RunTask } from "./run.ts";

/** What runs ended with; undefined before any has an answer. */
type Start = SolveReadOptions["start"];

/** Solves problems of studies one after the other. */
export type RunSolver = (task: RunTask, reader: VariantReader) => Promise<RunRecord>;

/**
 * A solver that begins each run with what those before ended with: problems of a study are much alike. Records are pure
 * functions of their tasks all the same, but for time limits: where to begin decides how soon an answer is proved, and
 * what is proved is the one answer that the tie rule takes.
 */
export function runSolver(): RunSolver {
  let start: Start;
  return async (task, reader) => {
    const { record, end } = await solveRun(task, reader, start);
    start = end;
    return record;
  };
}

async function solveRun(
  task: RunTask,
  reader: VariantReader,
  start: Start,
): Promise<{ readonly record: RunRecord; readonly end: Start }> {
  const { key, path, content, settings } = task;
  const solved = await solveRead(path, async () => reader.read(path, content), {
    ...settings,
    explain: false,
    conflict: false,
    certificate: false,
    start,
    now: () => performance.now() / 1000,
    aborted: () => false,
    progress: () => undefined,
    writeModel: false,
  });
  if (!solved.ok) {
    const [first] = sortFaults(solved.faults.map((fault) => seenFrom(dirname(path), fault)));
    const reason = first === undefined ? null : faultLine(first);
    return { record: { key, status: "failed", reason, result: null }, end: start };
  }
  const { document, start: end } = solved.value;
  return { record: { key, status: document.status, reason: reasonOf(document), result: kept(document) }, end };
}

/** A fault with its file as seen from the problem's folder, so that a record does not hang on where the files lie. */
function seenFrom(folder: string, fault: Fault): Fault {
  return { ...fault, place: { ...fault.place, file: relative(resolve(folder), resolve(fault.place.file)) } };
}

function kept({ status, objective, bound, gap, machines, limits, parts, distinct }: ResultDocument): RunResult {
  return { status, objective, bound, gap, machines, limits, parts, distinct };
}

function reasonOf({ status, infeasible, gap }: ResultDocument): string | null {
  if (status === "optimal") return null;
  if (status === "unknown") return "stopped before any answer was found";
  if (status === "feasible") return `stopped before it was proved lowest, gap ${((gap ?? 0) * 100).toFixed(2)} %`;
  if (infeasible.length === 0) return "each axis has candidates, but not together under what the order asks for";
  return infeasible
    .map(({ axis, limits, note }) => `${axis ?? "order"}: ${limits.length === 0 ? note : limits.join(", ")}`)
    .join("; ");
}
