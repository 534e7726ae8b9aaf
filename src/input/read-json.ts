import { createHash } from "node:crypto";
import { readFile, stat } from "node:fs/promises";
import type { Result } from "../faults/fault.ts";
import { malformed, tooLarge, unreadable } from "../faults/wordings.ts";
import type { InputFile } from "../machine/problem.ts";
import { scanJson } from "./scan-json.ts";
import { SIZE_LIMITS } from "./size-limits.ts";

/** A JSON file as read: its content, not yet checked against any schema, and its name and hash. */
export interface JsonFile {
  readonly content: unknown;
  readonly input: InputFile;
}

/** Reads a JSON file within the bounds on size and nesting. */
export async function readJson(path: string): Promise<Result<JsonFile>> {
  const place = { file: path, pointer: "" };
  const bytes = await readBytes(path);
  if (bytes === undefined) return { ok: false, faults: [unreadable(place, "no readable file", "a JSON file")] };
  if (bytes === "too large") {
    const most = `at most ${SIZE_LIMITS.problemBytes} bytes`;
    return { ok: false, faults: [tooLarge(place, "a larger file", most)] };
  }
  const text = decode(bytes);
  if (text === undefined) return { ok: false, faults: [malformed(place, "bytes that are not UTF-8", "UTF-8 text")] };
  const faults = scanJson(path, text);
  if (faults.length > 0) return { ok: false, faults };
  const content: unknown = JSON.parse(text);
  return { ok: true, value: { content, input: { path, sha256: createHash("sha256").update(bytes).digest("hex") } } };
}

async function readBytes(path: string): Promise<Buffer | "too large" | undefined> {
  try {
    if ((await stat(path)).size > SIZE_LIMITS.problemBytes) return "too large";
    return await readFile(path);
  } catch {
    return undefined;
  }
}

function decode(bytes: Buffer): string | undefined {
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return undefined;
  }
}
