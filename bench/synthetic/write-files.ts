import { mkdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { PROBLEM_FILE, syntheticFiles } from "./files.ts";
import type { Wish } from "./wish.ts";

/** Writes an invented order into a folder, which is made where it is missing; returns the path of its problem file. */
export function writeSynthetic(folder: string, wish: Wish): string {
  for (const [path, text] of syntheticFiles(wish)) {
    const target = join(folder, path);
    mkdirSync(dirname(target), { recursive: true });
    writeFileSync(target, text);
  }
  return join(folder, PROBLEM_FILE);
}
