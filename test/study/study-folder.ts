import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { afterAll } from "vitest";
import type { Result } from "../../src/faults/fault.ts";
import { faultLine } from "../../src/faults/fault-line.ts";

/** The problem of one axis that studies here vary, by its full path. */
const PROBLEM = resolve("problems/drum-feeder-imperial.json");

const folders: string[] = [];
afterAll(async () => {
  await Promise.all(folders.splice(0).map(async (folder) => rm(folder, { recursive: true })));
});

/** A folder that goes away after the tests of its file. */
export async function temporaryFolder(): Promise<string> {
  const folder = await mkdtemp(join(tmpdir(), "fewframe-study-"));
  folders.push(folder);
  return folder;
}

/** A small study of the drum feeder, with changes to its top-level members. */
export function smallStudy(changes: Readonly<Record<string, unknown>> = {}): Record<string, unknown> {
  return {
    problem: PROBLEM,
    factors: [
      { id: "pace", at: ["/machines/0/axes/0/motion/*/time"], apply: "multiply", range: [0.9, 1.1] },
      { id: "ambient", at: ["/site/ambient"], levels: ["30 degC", "40 degC"] },
    ],
    design: { kind: "full-factorial" },
    responses: [
      { id: "total", at: "/objective/total" },
      { id: "motor", at: "/machines/0/axes/0/motor" },
    ],
    ...changes,
  };
}

/** Writes a study into a folder of its own. */
export async function writtenStudy(content: object, files: Readonly<Record<string, string>> = {}): Promise<string> {
  const folder = await temporaryFolder();
  const path = join(folder, "s.json");
  await writeFile(path, JSON.stringify(content));
  for (const [name, text] of Object.entries(files)) await writeFile(join(folder, name), text);
  return path;
}

/** The faults as lines, without the folder of the study. */
export function linesOf(read: Result<unknown>): readonly string[] {
  return read.ok ? [] : read.faults.map((fault) => faultLine(fault).replace(/^\S*\/([^/]*\.(?:json|csv))/u, "$1"));
}
