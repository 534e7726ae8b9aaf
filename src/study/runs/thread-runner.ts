import { fileURLToPath } from "node:url";
import type { Piscina } from "piscina";
import type { RunRecord, RunTask } from "./run.ts";
import type { Runner } from "./runner.ts";

/** Worker threads of this process, each with a reader of its own. */
export async function threadRunner(threads: number): Promise<Runner> {
  const pool = await threadPool<RunTask>(new URL("./worker.js", import.meta.url), threads);
  return {
    width: threads,
    faultsOf: () => [],
    run: async (task) => pool.run(task),
    close: async () => pool.destroy(),
  };
}

/** Room for what a solve makes and drops at once, so that less of it is looked through again [MB]. */
const YOUNG_GENERATION = 192;

/** Threads that wait for work as long as the pool lives. */
export async function threadPool<Task>(work: URL, threads: number): Promise<Piscina<Task, RunRecord>> {
  const { Piscina: Pool } = await import("piscina");
  return new Pool<Task, RunRecord>({
    filename: fileURLToPath(work),
    minThreads: threads,
    maxThreads: threads,
    idleTimeout: Number.POSITIVE_INFINITY,
    resourceLimits: { maxYoungGenerationSizeMb: YOUNG_GENERATION },
  });
}
