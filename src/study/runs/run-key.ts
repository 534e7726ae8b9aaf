import { createHash } from "node:crypto";
import type { InputFile } from "../../machine/problem.ts";
import { VERSION } from "../../version.ts";
import type { RunSettings } from "../plan/study.ts";

/** What the answer of a run hangs on. */
export interface RunInputs {
  readonly content: unknown;
  /** Catalogue and table files with their hashes. */
  readonly files: readonly InputFile[];
  readonly settings: RunSettings;
}

/** Name of a run by what it hangs on: equal names have equal answers. Files count by content, not by where they lie. */
export function runKey({ content, files, settings }: RunInputs): string {
  const { engine, timeLimit } = settings;
  const hangsOn = { version: VERSION, engine, timeLimit: String(timeLimit), files: files.map(({ sha256 }) => sha256) };
  return createHash("sha256")
    .update(JSON.stringify([hangsOn, content]))
    .digest("hex");
}
