import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Result } from "../../src/faults/fault.ts";
import { faultLine } from "../../src/faults/fault-line.ts";
import { loadProblemReader, type ProblemInput } from "../../src/input/read-problem.ts";

const fixtures: string = fileURLToPath(new URL("fixtures/", import.meta.url));

const readFixture = await loadProblemReader();

/** Reads a problem given as text from a temporary file; `maker` in `catalogs` is the fixture. */
export async function readText(text: string | Uint8Array): Promise<Result<ProblemInput>> {
  const folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  try {
    const path = join(folder, "p.json");
    await writeFile(
      path,
      typeof text === "string" ? text.replace('"maker"', JSON.stringify(`${fixtures}maker`)) : text,
    );
    return await readFixture(path);
  } finally {
    await rm(folder, { recursive: true });
  }
}

/** Reads the good fixture after changes, each a JSON Pointer and the value to put there (undefined: take it out). */
export async function readEdited(...changes: readonly (readonly [string, unknown])[]): Promise<Result<ProblemInput>> {
  const document: unknown = JSON.parse(await readFile(`${fixtures}good.json`, "utf8"));
  for (const [pointer, value] of changes) put(document, pointer.split("/").slice(1), value);
  return readText(JSON.stringify(document));
}

function put(target: unknown, steps: readonly string[], value: unknown): void {
  const [step = "", ...rest] = steps;
  const object = target as Record<string, unknown>;
  if (rest.length > 0) put((object[step] ??= {}), rest, value);
  else if (value === undefined) delete object[step];
  else object[step] = value;
}

/** The faults as lines, without the name of the temporary file. */
export function linesOf(read: Result<ProblemInput>): readonly string[] {
  return read.ok ? [] : read.faults.map((fault) => faultLine(fault).replace(/^\S*p\.json:? ?/, ""));
}
