import type { Result } from "../faults/fault.ts";
import type { InputFile } from "../machine/problem.ts";
import type { ResultDocument } from "../machine/result.ts";
import { readJson } from "./read-json.ts";
import { loadSchema } from "./schema-faults.ts";

/** A result document as read, with its name and hash. */
export interface ResultRead {
  readonly document: ResultDocument;
  readonly input: InputFile;
}

/** Reads a result document and checks it against its schema: the document, or every fault in it. */
export async function readResult(path: string): Promise<Result<ResultRead>> {
  const json = await readJson(path);
  if (!json.ok) return json;
  const check = await loadSchema("result");
  const { content, input } = json.value;
  const faults = check(path, content);
  return isResult(content, faults.length) ? { ok: true, value: { document: content, input } } : { ok: false, faults };
}

/** What passes its schema is a result document. */
function isResult(_content: unknown, faults: number): _content is ResultDocument {
  return faults === 0;
}
