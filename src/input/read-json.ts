import { createHash } from "node:crypto";
import { readFile, stat } from "node:fs/promises";
import type { Result } from "../faults/fault.ts";
import { malformed, tooLarge, unreadable } from "../faults/wordings.ts";
import type { InputFile } from "../machine/problem.ts";
import { scanJson } from "./scan-json.ts";
import { SIZE_LIMITS } from "./size-limits.ts";

/** What a JSON file holds, not yet checked against any schema, and its name and hash. */
export interface JsonContent {
  readonly content: unknown;
  readonly input: InputFile;
}

/** A JSON file as read. */
export interface JsonFile extends JsonContent {
  readonly text: string;
}

/** A content that stands for the file at a path; its hash is that of its text without spaces. */
export function jsonContent(path: string, content: unknown): JsonContent {
  const sha256 = createHash("sha256").update(JSON.stringify(content)).digest("hex");
  return { content, input: { path, sha256 } };
}

/** Reads a JSON file within the bounds on size [byte] and nesting. */
export async function readJson(path: string, largest: number = SIZE_LIMITS.problemBytes): Promise<Result<JsonFile>> {
  const place = { file: path, pointer: "" };
  const bytes = await readBytes(path, largest);
  if (bytes === undefined) return { ok: false, faults: [unreadable(place, "no readable file", "a JSON file")] };
  if (bytes === "too large") {
    const most = `at most ${largest} bytes`;
    return { ok: false, faults: [tooLarge(place, "a larger file", most)] };
  }
  const text = decode(bytes);
  if (text === undefined) return { ok: false, faults: [malformed(place, "bytes that are not UTF-8", "UTF-8 text")] };
  const faults = scanJson(path, text);
  if (faults.length > 0) return { ok: false, faults };
  const content: unknown = JSON.parse(text);
  return {
    ok: true,
    value: { content, text, input: { path, sha256: createHash("sha256").update(bytes).digest("hex") } },
  };
}

async function readBytes(path: string, largest: number): Promise<Buffer | "too large" | undefined> {
  try {
    if ((await stat(path)).size > largest) return "too large";
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
