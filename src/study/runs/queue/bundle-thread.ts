import { relative, sep } from "node:path";
import { loadVariantReader, type VariantReader } from "../../../input/read-problem.ts";
import type { RunRecord, RunTask } from "../run.ts";
import { runSolver } from "../solve-run.ts";

/** A run and the folder its files lie in. */
export interface BundleTask {
  readonly folder: string;
  readonly task: RunTask;
}

/** Readers kept; each remembers the catalogues of one folder. */
const KEPT = 4;
const solve = runSolver();
const readers = new Map<string, Promise<VariantReader>>();

/** What a thread of a worker does: reads nothing but the files the run lists, and solves it. */
export default async function work({ folder, task }: BundleTask): Promise<RunRecord> {
  const reader = await readerOf(folder);
  const { files: read } = await reader.sourcesOf(task.path, task.content);
  const names = read.map(({ path, sha256 }) => `${relative(folder, path).split(sep).join("/")} ${sha256}`);
  const listed = task.files.map(({ path, sha256 }) => `${path} ${sha256}`);
  if (names.join("\n") !== listed.join("\n")) throw new Error("refused: files that are not those of the problem");
  return solve(task, reader);
}

async function readerOf(folder: string): Promise<VariantReader> {
  const reader = readers.get(folder) ?? loadVariantReader();
  readers.delete(folder);
  readers.set(folder, reader);
  for (const oldest of [...readers.keys()].slice(0, Math.max(0, readers.size - KEPT))) readers.delete(oldest);
  return reader;
}
