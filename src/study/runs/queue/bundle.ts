import { dirname, isAbsolute, join, normalize, relative, resolve, sep } from "node:path";
import type { Fault, Result } from "../../../faults/fault.ts";
import { outOfRange, tooLarge } from "../../../faults/wordings.ts";
import { isObject } from "../../../input/node.ts";
import type { InputFile } from "../../../machine/problem.ts";
import type { RunTask } from "../run.ts";
import { BUNDLE_LIMITS } from "./limits.ts";

/** A problem and the files it is read from, as they lie to each other below a folder that holds them all. */
export interface Bundle {
  /** Path of the problem below the root, with slashes; so are those of the files. */
  readonly problem: string;
  readonly files: readonly InputFile[];
}

/** The bundle of a task, or why its files cannot lie alike on another machine. */
export function bundleOf({ path, content, files }: RunTask): Result<Bundle> {
  const folder = dirname(resolve(path));
  const labels = catalogueLabels(content);
  const faults = labels.flatMap((label, index) => labelFaults({ path, folder, label, index }));
  if (files.length > BUNDLE_LIMITS.files) {
    faults.push(tooLarge({ file: path, pointer: "" }, `${files.length} files`, `at most ${BUNDLE_LIMITS.files}`));
  }
  if (faults.length > 0) return { ok: false, faults };
  const root = join(folder, ...Array.from({ length: Math.max(0, ...labels.map(climbs)) }, () => ".."));
  const below = (file: string): string => relative(root, resolve(file)).split(sep).join("/");
  const listed = files.map(({ path: file, sha256 }) => ({ path: below(file), sha256 }));
  const odd = [path, ...files.map((file) => file.path)].filter((file) => !isPathBelow(below(file)));
  if (odd.length > 0) return { ok: false, faults: odd.map(oddPath) };
  return { ok: true, value: { problem: below(path), files: listed } };
}

/** Whether something is a plain path to a file below the folder it starts from, under every system's rules. */
export function isPathBelow(path: unknown): path is string {
  if (typeof path !== "string" || path.length > BUNDLE_LIMITS.pathCharacters) return false;
  return path.split("/").every((step) => step !== "" && step !== "." && step !== ".." && !/[\p{Cc}\\:]/u.test(step));
}

function oddPath(file: string): Fault {
  const expected = `a path without ":" and "\\" and of at most ${BUNDLE_LIMITS.pathCharacters} characters, which every system can have`;
  return outOfRange({ file, pointer: "" }, "a path that a worker elsewhere may not have", expected);
}

/** Names of the catalogue folders as they stand in a problem. */
export function catalogueLabels(content: unknown): readonly string[] {
  const labels = isObject(content) ? content["catalogs"] : undefined;
  return Array.isArray(labels) ? labels.filter((label) => typeof label === "string") : [];
}

interface Labelled {
  readonly path: string;
  readonly folder: string;
  readonly label: string;
  readonly index: number;
}

function labelFaults({ path, folder, label, index }: Labelled): Fault[] {
  const isTooHigh = climbs(label) > stepsOf(folder);
  if (!isAbsolute(label) && !isTooHigh) return [];
  const expected =
    'a folder named as seen from the problem, such as "../catalogs/x", so that workers elsewhere find it';
  return [outOfRange({ file: path, pointer: `/catalogs/${index}` }, JSON.stringify(label), expected)];
}

/** How many folders a path goes up before it goes down. */
function climbs(label: string): number {
  return normalize(label)
    .split(sep)
    .filter((step) => step === "..").length;
}

function stepsOf(folder: string): number {
  return folder.split(sep).filter((step) => step !== "").length;
}
