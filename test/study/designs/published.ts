import { readFileSync } from "node:fs";

const text = (file: string): string =>
  readFileSync(new URL(`../../../shared/reference/designs/${file}`, import.meta.url), "utf8");

/** Rows of a CSV of numbers without a header. */
export function numbers(file: string): number[][] {
  return lines(file).map((line) => line.split(",").map(Number));
}

/** Rows of a CSV with a header, cells as text. */
export function table(file: string): Record<string, string>[] {
  const [header = "", ...rows] = lines(file);
  const names = cells(header);
  return rows.map((row) => Object.fromEntries(cells(row).map((cell, k) => [names[k] ?? "", cell])));
}

function lines(file: string): string[] {
  return text(file)
    .split("\n")
    .filter((line) => line.trim() !== "");
}

function cells(line: string): string[] {
  return line.split(",").map((cell) => cell.replaceAll('"', ""));
}

/** A JSON file; what it holds is for the caller to say. */
export function json(file: string): unknown {
  return JSON.parse(text(file));
}
