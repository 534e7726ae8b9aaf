import { fileURLToPath } from "node:url";
import type { RunRecord, RunTask } from "./run.ts";
import type { Runner } from "./runner.ts";

/** Worker threads of this process, each with a reader of its own. */
export async function threadRunner(threads: number): Promise<Runner> {
  const { Piscina } = await import("piscina");
  const pool = new Piscina<RunTask, RunRecord>({
    filename: fileURLToPath(new URL("./worker.js", import.meta.url)),
    minThreads: threads,
    maxThreads: threads,
    idleTimeout: Number.POSITIVE_INFINITY,
  });
  return {
    width: threads,
    run: async (task) => pool.run(task),
    close: async () => pool.destroy(),
  };
}
