import { execFile } from "node:child_process";
import { join } from "node:path";

/** The root of the project. */
export const ROOT: string = join(import.meta.dirname, "../..");

/** What a run of the command came to. */
export interface Run {
  readonly code: number | string | null | undefined;
  readonly out: string;
  readonly err: string;
}

/** The built command, as a user runs it in a folder. */
export async function fewframeIn(cwd: string, args: readonly string[]): Promise<Run> {
  return new Promise((resolve) => {
    execFile(
      process.execPath,
      [join(ROOT, "dist/cli/main.js"), ...args],
      { cwd, maxBuffer: 1e8 },
      (error, out, err) => {
        resolve({ code: error === null ? 0 : error.code, out, err });
      },
    );
  });
}

/** The built command, as a user runs it in the project. */
export async function fewframe(...args: readonly string[]): Promise<Run> {
  return fewframeIn(ROOT, args);
}
