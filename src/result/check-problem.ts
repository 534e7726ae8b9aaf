import { isSetup, setupOf } from "../decide/setup.ts";
import type { Result } from "../faults/fault.ts";
import { type ProblemInput, readProblem } from "../input/read-problem.ts";
import { motionFaults } from "./motion-faults.ts";

/** Reads a problem as `readProblem` does and works out its motions: the whole input, or every fault in it. */
export async function checkProblem(path: string): Promise<Result<ProblemInput>> {
  const read = await readProblem(path);
  if (!read.ok) return read;
  const setup = setupOf(read.value.problem, read.value.catalogue);
  return isSetup(setup) ? read : { ok: false, faults: motionFaults(path, setup, read.value.problem) };
}
