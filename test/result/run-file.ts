import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Result } from "../../src/faults/fault.ts";
import type { SolveFileOptions, SolveFileOutcome } from "../../src/machine/run.ts";
import { solveFile } from "../../src/solve-file.ts";

const ROOT = join(import.meta.dirname, "../..");

/** A demonstration problem of the repository. */
export function problemPath(stem: string): string {
  return join(ROOT, "problems", `${stem}.json`);
}

/** Runs the whole job with the given options; without any: own solver, no time limit, no reasons. */
export function run(path: string, options: Partial<SolveFileOptions> = {}): Promise<Result<SolveFileOutcome>> {
  return solveFile(path, {
    engine: "simplex",
    timeLimit: Number.POSITIVE_INFINITY,
    explain: false,
    now: () => performance.now() / 1000,
    aborted: () => false,
    progress: () => undefined,
    writeModel: false,
    ...options,
  });
}

/** The outcome; a fault in the input ends the test. */
export function valueOf(result: Result<SolveFileOutcome>): SolveFileOutcome {
  if (!result.ok) throw new Error(JSON.stringify(result.faults));
  return result.value;
}

/** Runs a demonstration problem after changes of its text, from a temporary folder. */
export async function runEdited(
  stem: string,
  edits: readonly (readonly [string, string])[],
  options: Partial<SolveFileOptions> = {},
): Promise<Result<SolveFileOutcome>> {
  let text = (await readFile(problemPath(stem), "utf8")).replaceAll("../catalogs", join(ROOT, "catalogs"));
  for (const [before, after] of edits) {
    if (!text.includes(before)) throw new Error(`${stem} does not contain ${before}`);
    text = text.replace(before, after);
  }
  const folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  try {
    const path = join(folder, "edited.json");
    await writeFile(path, text);
    return await run(path, options);
  } finally {
    await rm(folder, { recursive: true });
  }
}
