import type { Fault, Result } from "../faults/fault.ts";
import { isObject } from "./node.ts";
import { type JsonFile, readJson } from "./read-json.ts";
import { loadSchema } from "./schema-faults.ts";
import { SIZE_LIMITS } from "./size-limits.ts";

/** A certificate file as read. */
export interface CertificateRead extends JsonFile {
  /** What it says its format is. */
  readonly format: unknown;
}

/** Reads a certificate file; its form is still to be checked. */
export async function readCertificate(path: string): Promise<Result<CertificateRead>> {
  const json = await readJson(path, SIZE_LIMITS.certificateBytes);
  if (!json.ok) return json;
  const { content } = json.value;
  return { ok: true, value: { ...json.value, format: isObject(content) ? content["format"] : undefined } };
}

/** Every fault in the form of a certificate. */
export async function certificateFaults({ content, input }: JsonFile): Promise<readonly Fault[]> {
  return (await loadSchema("certificate"))(input.path, content);
}
