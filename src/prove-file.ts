import { access } from "node:fs/promises";
import { basename, dirname, join } from "node:path";
import type { Fault } from "./faults/fault.ts";
import { certificateFaults, readCertificate } from "./input/read-certificate.ts";
import type { ProblemInput } from "./input/read-problem.ts";
import type { ResultDocument } from "./machine/result.ts";
import type { ProofCheck, ProofStatus } from "./machine/verification.ts";
import type { Findings } from "./prove/findings.ts";
import { type Claim, type OrderProof, proveOrder } from "./prove/prove-order.ts";
import { CERTIFICATE_FORMAT, findingsFrom } from "./result/certificate-text.ts";
import { VERSION } from "./version.ts";

/** A result with the inputs it was made from. */
export interface ProofSource {
  /** Of the result document: the certificate lies beside it. */
  readonly path: string;
  readonly stated: ResultDocument;
  readonly input: Pick<ProblemInput, "problem" | "catalogue">;
}

/** Proves again what a result says of the best order, from its certificate; a reason where that cannot be. */
export async function proofOfResult({ path, stated, input }: ProofSource): Promise<ProofCheck> {
  const read = await findingsOf(path, stated);
  if ("status" in read) return unread(stated, read.status, read.failed);
  const proof = await proveOrder(input, claimOf(stated), read.findings);
  return checked(stated, proof, { result: path, certificate: read.file });
}

/** The proof is of other inputs than are there now. */
export function proofOfOthers(stated: ResultDocument): ProofCheck {
  return unread(stated, "not-checked", [{ at: "inputs", why: "no longer those the result was made from" }]);
}

type Failed = ProofCheck["failed"];

interface NoFindings {
  readonly status: ProofStatus;
  readonly failed: Failed;
}

async function findingsOf(
  path: string,
  { certificate, status, fewframe }: ResultDocument,
): Promise<{ readonly findings: Findings; readonly file: string } | NoFindings> {
  // That there is no order may be seen without looking for anything.
  if (certificate === null && status === "infeasible") return { findings: { stopped: null, steps: [] }, file: path };
  if (certificate === null) return nothing("not-given", path, "names no certificate");
  const file = join(dirname(path), basename(certificate.file));
  if (!(await isThere(file))) return nothing("not-given", file, "no such file beside the result");
  if (fewframe !== VERSION) return nothing("not-checked", file, `cannot be proved again: made by version ${fewframe}`);
  const read = await readCertificate(file);
  if (!read.ok) return { status: "refuted", failed: read.faults.map(failedBy) };
  const { format, text, input } = read.value;
  if (input.sha256 !== certificate.sha256) return nothing("refuted", file, "not the file the result was written with");
  if (format !== CERTIFICATE_FORMAT)
    return nothing("not-checked", file, "cannot be proved again: made by another version");
  const faults = await certificateFaults(read.value);
  return faults.length > 0
    ? { status: "refuted", failed: faults.map(failedBy) }
    : { findings: findingsFrom(text), file };
}

function nothing(status: ProofStatus, at: string, why: string): NoFindings {
  return { status, failed: [{ at, why }] };
}

async function isThere(file: string): Promise<boolean> {
  try {
    await access(file);
    return true;
  } catch {
    return false;
  }
}

function failedBy({ place, found, expected }: Fault): Failed[number] {
  const at = "pointer" in place ? `${place.file} ${place.pointer}`.trimEnd() : place.file;
  return { at, why: `found ${found}, expected ${expected}` };
}

function claimOf({ status, objective, bound }: ResultDocument): Claim {
  return {
    status,
    ...(objective === null ? {} : { total: 100 * objective.total }),
    ...(bound === null ? {} : { bound: 100 * bound }),
  };
}

function unread({ status: claim, currency: unit }: ResultDocument, status: ProofStatus, failed: Failed): ProofCheck {
  return { status, claim, branches: 0, enumerated: 0, bound: null, unit, failed };
}

function checked(
  { status: claim, currency: unit }: ResultDocument,
  { flaws, contradictions, branches, enumerated, bound }: OrderProof,
  { result, certificate }: { readonly result: string; readonly certificate: string },
): ProofCheck {
  const failed = [
    ...contradictions.map(({ at, why }) => ({ at: `${result} ${at}`, why })),
    ...flaws.map(({ at, why }) => ({ at: `${certificate} ${at}`, why })),
  ];
  const isOpen = contradictions.length === 0 && flaws.every((flaw) => flaw.isOpen === true);
  const status = failed.length === 0 ? "proved" : isOpen ? "unproved" : "refuted";
  const proved = status === "proved" && bound !== undefined && Number.isFinite(bound) ? bound / 100 : null;
  return { status, claim, branches, enumerated, bound: proved, unit, failed };
}
