import { cp, mkdir, writeFile } from "node:fs/promises";
import { dirname, join, relative } from "node:path";
import type { ResultDocument } from "../../src/machine/result.ts";
import type { SolveFileOutcome } from "../../src/machine/run.ts";
import type { VerificationDocument, Verified, VerifyOptions, VerifyOutcome } from "../../src/machine/verification.ts";
import { documentText } from "../../src/report/document-text.ts";
import { verifyResult } from "../../src/verify-file.ts";
import { run, valueOf } from "../result/run-file.ts";

const ROOT = join(import.meta.dirname, "../..");

/** A solved problem of the repository: its result file, which lies beside copies of problem and catalogues. */
export interface Solved {
  readonly path: string;
  readonly problem: string;
  readonly folder: string;
  readonly document: ResultDocument;
}

/** Copies problems and catalogues into a folder, solves it there without reasons and writes the result. */
export async function solvedIn(folder: string, stem: string): Promise<Solved> {
  await cp(join(ROOT, "catalogs"), join(folder, "catalogs"), { recursive: true });
  await cp(join(ROOT, "problems"), join(folder, "problems"), { recursive: true });
  const problem = join(folder, "problems", `${stem}.json`);
  const outcome = valueOf(await run(problem));
  const path = join(folder, "out", `${stem}.result.json`);
  return { path, problem, folder, document: await writtenWhole(path, outcome) };
}

/** Writes result and certificate as the command does, and hands back the result as written. */
export async function writtenWhole(path: string, { document, certificate }: SolveFileOutcome): Promise<ResultDocument> {
  const stated = await written(path, document);
  if (certificate !== undefined) await writeFile(join(dirname(path), stated.certificate?.file ?? ""), certificate);
  return stated;
}

/** Writes a document as the command does, its inputs seen from its folder, and hands back what was written. */
export async function written(path: string, document: ResultDocument): Promise<ResultDocument> {
  const { problem, catalogs, tables } = document.inputs;
  const seen = <T extends { readonly path: string }>(file: T): T => ({
    ...file,
    path: relative(dirname(path), file.path),
  });
  const files = tables === undefined ? {} : { tables: tables.map(seen) };
  const text = documentText({
    ...document,
    inputs: { problem: seen(problem), catalogs: catalogs.map(seen), ...files },
  });
  await mkdir(dirname(path), { recursive: true });
  await writeFile(path, text);
  return JSON.parse(text) as ResultDocument;
}

/** Verifies a file; a fault ends the test. */
export async function verified(path: string, options: Partial<VerifyOptions> = {}): Promise<VerifyOutcome> {
  const outcome = await verifyResult(path, { allowChanged: false, series: false, ...options });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.faults));
  return outcome.value;
}

/** Every set of figures of a comparison. */
export function everySet({ machines, order }: VerificationDocument): Verified[] {
  return [...machines.flatMap(({ axes, buses, own }) => [...axes, ...buses, own]), order];
}

/** Names of what does not agree. */
export function wrongIn(document: VerificationDocument): string[] {
  return everySet(document).flatMap(({ compared, unfit, bounds }) => [
    ...unfit,
    ...compared.filter(({ verdict }) => verdict !== "agrees").map(({ id, verdict }) => `${id} ${verdict}`),
    ...bounds.filter(({ holds }) => !holds).map(({ id }) => `${id} bound`),
  ]);
}
