import { mkdir, rename, rm, writeFile } from "node:fs/promises";
import { dirname } from "node:path";

/** A file to be written whole. */
export interface TextFile {
  readonly path: string;
  readonly text: string;
}

/**
 * Writes files under temporary names and renames them once all are complete: an existing file is replaced as a whole or
 * not at all. Folders are made as needed. When a file cannot be written, the temporary ones go away again.
 */
export async function writeFiles(files: readonly TextFile[]): Promise<void> {
  const pending = files.map((file) => ({ ...file, temporary: `${file.path}.${process.pid}.tmp` }));
  const begun: string[] = [];
  try {
    for (const { path, temporary, text } of pending) {
      await mkdir(dirname(path), { recursive: true });
      begun.push(temporary);
      await writeFile(temporary, text, { flag: "wx" });
    }
    for (const { path, temporary } of pending) await rename(temporary, path);
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    throw new Error(`cannot write the output: ${reason}`, { cause: error });
  } finally {
    await Promise.all(begun.map(async (temporary) => rm(temporary, { force: true })));
  }
}
