import { dirname, relative, resolve } from "node:path";
import type { Fault } from "../../faults/fault.ts";
import { faultLine, sortFaults } from "../../faults/fault-line.ts";
import type { VariantReader } from "../../input/read-problem.ts";
import type { ResultDocument } from "../../machine/result.ts";
import { solveRead } from "../../solve-file.ts";
import type { RunRecord, RunResult, RunTask } from "./run.ts";

/** Solves one problem of a study. A pure function of the task, but for time limits. */
export async function solveRun(task: RunTask, reader: VariantReader): Promise<RunRecord> {
  const { key, path, content, settings } = task;
  const solved = await solveRead(path, async () => reader.read(path, content), {
    ...settings,
    explain: false,
    conflict: false,
    now: () => performance.now() / 1000,
    aborted: () => false,
    progress: () => undefined,
    writeModel: false,
  });
  if (!solved.ok) {
    const [first] = sortFaults(solved.faults.map((fault) => seenFrom(dirname(path), fault)));
    return { key, status: "failed", reason: first === undefined ? null : faultLine(first), result: null };
  }
  const { document } = solved.value;
  return { key, status: document.status, reason: reasonOf(document), result: kept(document) };
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
