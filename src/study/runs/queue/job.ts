import { isAbsolute, join } from "node:path";
import { isObject } from "../../../input/node.ts";
import { isInside } from "../../../input/path-inside.ts";
import { scanJson } from "../../../input/scan-json.ts";
import type { InputFile } from "../../../machine/problem.ts";
import type { RunSettings } from "../../plan/study.ts";
import type { RunTask } from "../run.ts";
import { runKey } from "../run-key.ts";
import { type Bundle, catalogueLabels, isPathBelow } from "./bundle.ts";
import { BUNDLE_LIMITS } from "./limits.ts";

/** A run as it lies in the queue, under its key. */
export interface RunJob extends Bundle {
  /** Text of the problem. */
  readonly content: string;
  readonly engine: RunSettings["engine"];
  /** [s]; null: as long as it takes */
  readonly timeLimit: number | null;
}

/** A run taken from the queue. */
export interface TakenRun extends Bundle {
  readonly key: string;
  readonly content: unknown;
  readonly settings: RunSettings;
}

/** What no worker takes, however often it is offered. */
export interface Refusal {
  readonly refused: string;
}

/** Puts a task into the form it has in the queue. */
export function jobOf({ content, settings: { engine, timeLimit } }: RunTask, bundle: Bundle): RunJob {
  return {
    ...bundle,
    content: JSON.stringify(content),
    engine,
    timeLimit: Number.isFinite(timeLimit) ? timeLimit : null,
  };
}

/**
 * Reads what lies in the queue and trusts nothing of it: every path stays below the root, and the key is that of content,
 * files, settings and this version.
 */
export function takenRun(key: string, data: unknown): TakenRun | Refusal {
  if (!isObject(data)) return { refused: "no run" };
  const [problem, files, settings] = [data["problem"], filesOf(data["files"]), settingsOf(data)];
  const content = contentOf(data["content"]);
  if (content === undefined) return { refused: "a problem that is no JSON, or too large, or too deep" };
  if (settings === undefined) return { refused: "settings that do not exist" };
  if (!isPathBelow(problem) || files === undefined) return { refused: "a path that leads out of the run's folder" };
  if (!catalogueLabels(content.value).every((label) => staysBelow(problem, label))) {
    return { refused: "a catalogue outside the run's folder" };
  }
  const run = { key, problem, files, settings, content: content.value };
  return runKey(run) === key ? run : { refused: "a run of another version of fewframe, or one that was changed" };
}

export function isRefusal(run: TakenRun | Refusal): run is Refusal {
  return "refused" in run;
}

function contentOf(text: unknown): { readonly value: unknown } | undefined {
  if (typeof text !== "string" || text.length > BUNDLE_LIMITS.problemCharacters) return undefined;
  if (scanJson("problem", text).length > 0) return undefined;
  const value: unknown = JSON.parse(text);
  return { value };
}

function settingsOf({ engine, timeLimit }: Readonly<Record<string, unknown>>): RunSettings | undefined {
  if (engine !== "simplex" && engine !== "highs") return undefined;
  if (timeLimit === null) return { engine, timeLimit: Number.POSITIVE_INFINITY };
  return typeof timeLimit === "number" && timeLimit > 0 ? { engine, timeLimit } : undefined;
}

function filesOf(list: unknown): readonly InputFile[] | undefined {
  if (!Array.isArray(list) || list.length > BUNDLE_LIMITS.files) return undefined;
  const files = list.flatMap((entry: unknown) => fileOf(entry) ?? []);
  const isWhole = files.length === list.length && new Set(files.map(({ path }) => path)).size === list.length;
  return isWhole ? files : undefined;
}

function fileOf(entry: unknown): InputFile | undefined {
  if (!isObject(entry)) return undefined;
  const { path, sha256 } = entry;
  const isHash = typeof sha256 === "string" && /^[\da-f]{64}$/u.test(sha256);
  return isPathBelow(path) && isHash ? { path, sha256 } : undefined;
}

function staysBelow(problem: string, label: string): boolean {
  return !isAbsolute(label) && isInside(join(problem, "..", label));
}
