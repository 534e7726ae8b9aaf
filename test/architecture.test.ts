import { readdirSync, readFileSync } from "node:fs";
import { dirname, posix } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { VERSION } from "../src/version.ts";

const SRC = fileURLToPath(new URL("../src/", import.meta.url));

interface SourceFile {
  /** Below src/, with slashes. */
  readonly path: string;
  readonly text: string;
}

function sourceFiles(): SourceFile[] {
  const names = readdirSync(SRC, { recursive: true, encoding: "utf8" }).filter((name) => name.endsWith(".ts"));
  return names
    .toSorted()
    .map((name) => ({ path: name.split("\\").join("/"), text: readFileSync(`${SRC}/${name}`, "utf8") }));
}

const PHYSICS = ["physics"];
const NOUNS = ["machine", "faults"];

/** Folders (with everything below them) that a folder may import besides itself; type-only imports count too. */
const MAY_IMPORT: Readonly<Record<string, readonly string[]>> = {
  maths: [],
  faults: [],
  machine: ["faults"],
  units: ["faults"],
  input: ["machine", "units", "faults"],
  physics: [],
  "physics/motion": ["machine", "maths", "faults"],
  "physics/mechanism": ["machine", "maths", "faults"],
  "physics/duty": ["physics/constants.ts", "physics/motion", "physics/mechanism", ...NOUNS, "maths"],
  "physics/limits": ["physics/constants.ts", "physics/duty", "physics/mechanism", ...NOUNS, "maths"],
  "physics/power": ["physics/constants.ts", "physics/limits", "physics/duty", ...NOUNS, "maths"],
  candidates: [...PHYSICS, ...NOUNS, "maths"],
  model: ["candidates", ...NOUNS],
  solve: ["model", "maths", "faults"],
  "solve/engines": ["solve", "model", "maths", "faults"],
  decide: ["solve", "model", "candidates", ...PHYSICS, ...NOUNS, "maths"],
  explain: ["decide", "solve", "model", "candidates", ...PHYSICS, ...NOUNS],
  prove: ["decide", "solve", "model", "physics", ...NOUNS],
  ratios: [
    "decide",
    "candidates",
    "input",
    "report/caution-input.ts",
    "result/table-units.ts",
    ...PHYSICS,
    ...NOUNS,
    "maths",
  ],
  report: ["units", ...NOUNS],
  "study/analysis": ["faults"],
  charts: [],
  pictures: ["charts", "report", ...NOUNS],
  verify: [...NOUNS],
  "study/designs": [],
  result: [
    "explain",
    "prove",
    "decide",
    "solve",
    "model",
    "candidates",
    "input",
    "report",
    "units",
    ...PHYSICS,
    ...NOUNS,
  ],
  "study/plan": ["study/designs", "study/analysis", "input", "units", ...NOUNS],
  "study/runs": ["study/plan", "solve-file.ts", "input", "version.ts", ...NOUNS],
  "study/outcome": [
    "study/plan",
    "study/runs",
    "study/designs",
    "study/analysis",
    "charts",
    "report",
    "version.ts",
    ...NOUNS,
  ],
  frontier: ["result", "decide", "solve", "candidates", "input", "report", "physics", ...NOUNS],
  cli: ["index.ts", "report", "faults"],
  "version.ts": [],
  "solve-file.ts": [
    "result",
    "explain",
    "prove",
    "decide",
    "solve",
    "model",
    "candidates",
    "input",
    "version.ts",
    ...PHYSICS,
    ...NOUNS,
  ],
  "frontier-file.ts": ["frontier", "result", "decide", "input", "version.ts", ...NOUNS],
  "prove-file.ts": ["prove", "result/certificate-text.ts", "input", "version.ts", ...NOUNS],
  "study-file.ts": ["study", "input", ...NOUNS],
  "verify-file.ts": ["prove-file.ts", "verify", "result/check-problem.ts", "input", "version.ts", ...NOUNS],
  "ratios-file.ts": ["ratios", "result/motion-faults.ts", "decide", "input", "version.ts", ...NOUNS],
  "index.ts": [
    "frontier-file.ts",
    "solve-file.ts",
    "ratios-file.ts",
    "verify-file.ts",
    "study-file.ts",
    "study",
    "charts/draw-charts.ts",
    "pictures",
    "result/check-problem.ts",
    "report",
    "input",
    "solve",
    "model",
    "version.ts",
    ...NOUNS,
  ],
};

/** Third-party packages and the folders that may import them; `node` stands for Node's own modules. */
const PACKAGE_FOLDERS: Readonly<Record<string, readonly string[]>> = {
  ajv: ["input"],
  "fast-csv": ["input", "report"],
  mathjs: ["units"],
  highs: ["solve/engines"],
  "javascript-lp-solver": ["solve/engines"],
  commander: ["cli"],
  chalk: ["cli"],
  "ml-matrix": ["study"],
  "pure-rand": ["study"],
  "@stdlib/stats-base-dists-f-cdf": ["study/analysis"],
  "@stdlib/stats-base-dists-normal-quantile": ["study/analysis"],
  "@stdlib/stats-base-dists-t-cdf": ["study/analysis"],
  "@stdlib/stats-base-dists-t-quantile": ["study/analysis"],
  echarts: ["charts"],
  piscina: ["study/runs"],
  bullmq: ["study/runs"],
  ioredis: ["study/runs"],
  node: ["input", "cli", "study/plan", "study/runs", "solve-file.ts", "prove-file.ts", "verify-file.ts"],
};

/** Everything a file imports or re-exports, types included. */
function importsOf(text: string): string[] {
  const form = /^(?:import|export)\b[^"';]*?\bfrom\s+"([^"]+)"|^import\s+"([^"]+)"|\bimport\(\s*"([^"]+)"/gmu;
  return [...text.matchAll(form)].map((match) => match[1] ?? match[2] ?? match[3] ?? "");
}

function isUnder(path: string, folder: string): boolean {
  return path === folder || path.startsWith(`${folder}/`);
}

/** The entry of a table that governs a path: the deepest one. */
function governing(path: string, folders: readonly string[]): string | undefined {
  return folders.filter((folder) => isUnder(path, folder)).toSorted((a, b) => b.length - a.length)[0];
}

/** What a file imports against the tables. */
function forbidden({ path, text }: SourceFile): string[] {
  const own = governing(path, Object.keys(MAY_IMPORT));
  if (own === undefined) return [`${path} lies in a folder the table does not name`];
  return importsOf(text).flatMap((name) => {
    const allowed = name.startsWith(".") ? allowsFile(own, posix.join(dirname(path), name)) : allowsPackage(path, name);
    return allowed ? [] : [`${path} imports ${name}`];
  });
}

function allowsFile(own: string, target: string): boolean {
  if (governing(target, Object.keys(MAY_IMPORT)) === own) return true;
  return (
    (MAY_IMPORT[own] ?? []).some((folder) => isUnder(target, folder)) ||
    (own === "solve" && isUnder(target, "solve/engines"))
  );
}

function allowsPackage(path: string, name: string): boolean {
  const parts = name.split("/");
  const packageName = name.startsWith("node:") ? "node" : parts.slice(0, name.startsWith("@") ? 2 : 1).join("/");
  return (PACKAGE_FOLDERS[packageName] ?? []).some((folder) => isUnder(path, folder));
}

describe("who may import whom", () => {
  const files = sourceFiles();

  test("folders import only what the table allows", () => {
    expect(files.length).toBeGreaterThan(150);
    expect(files.reduce((sum, { text }) => sum + importsOf(text).length, 0)).toBeGreaterThan(500);
    expect(files.flatMap(forbidden)).toEqual([]);
  });

  test.each([
    ["solve/core.ts", 'import { a } from "../physics/duty/duty.ts";'],
    ["solve/core.ts", 'import type { Axis } from "../machine/problem.ts";'],
    ["physics/duty/duty.ts", 'import { a } from "../limits/rating.ts";'],
    ["physics/motion/cycle.ts", 'import {\n  type A,\n  b,\n} from "../duty/duty.ts";'],
    ["maths/hull.ts", 'export { a } from "../faults/fault.ts";'],
    ["candidates/fit.ts", 'const a: import("../decide/setup.ts").Setup = b;'],
    ["report/layout.ts", 'import { a } from "../physics/constants.ts";'],
    ["charts/pareto.ts", 'import type { Axis } from "../machine/problem.ts";'],
    ["report/layout.ts", 'import { init } from "echarts/core";'],
    ["solve/core.ts", 'import highs from "highs";'],
    ["decide/decide.ts", 'import { createHash } from "node:crypto";'],
    ["verify/heat.ts", 'import { a } from "../physics/constants.ts";'],
    ["verify/heat.ts", 'import { a } from "../prove/prove-order.ts";'],
    ["decide/decide.ts", 'import { a } from "../prove/recorder.ts";'],
    ["cli/main.ts", 'import { solveFile } from "../solve-file.ts";'],
    ["cli/main.ts", 'import "@scope/unheard-of/part";'],
    ["elsewhere/a.ts", ""],
  ])("the check itself can fail: %s with %j", (path, text) => {
    expect(forbidden({ path, text })).toHaveLength(1);
  });

  test("the table is used and leads round no circle", () => {
    const used = new Set(files.map(({ path }) => governing(path, Object.keys(MAY_IMPORT))));
    expect(Object.keys(MAY_IMPORT).filter((folder) => !used.has(folder))).toEqual([]);
    const reaches = (from: string, to: string, seen: readonly string[] = []): boolean =>
      (MAY_IMPORT[from] ?? []).some(
        (next) => isUnder(to, next) || (!seen.includes(next) && reaches(next, to, [...seen, next])),
      );
    // The engines take the solver's interface from the folder above them: one way in code, a circle by folder name.
    const circles = Object.keys(MAY_IMPORT).filter((folder) => folder !== "solve/engines" && reaches(folder, folder));
    expect(circles).toEqual([]);
  });

  test("no third-party package is declared that no folder may use", () => {
    const declared: unknown = JSON.parse(readFileSync(`${SRC}/../package.json`, "utf8"));
    const dependencies =
      declared !== null && typeof declared === "object" && "dependencies" in declared ? declared.dependencies : {};
    expect(Object.keys(dependencies ?? {}).toSorted()).toEqual(
      Object.keys(PACKAGE_FOLDERS)
        .filter((name) => name !== "node")
        .toSorted(),
    );
  });
});

interface Exported {
  readonly name: string;
  readonly isType: boolean;
  /** Text of the comment right before it; empty: none. */
  readonly comment: string;
}

/** Exports of a file with the doc comment right before each. */
function exportsOf(text: string): Exported[] {
  const form = /^export (?:async )?(function|const|interface|type|class) (\w+)/gmu;
  return [...text.matchAll(form)].map((match) => {
    const before = text.slice(0, match.index).trimEnd();
    const start = before.endsWith("*/") ? before.lastIndexOf("/**") : -1;
    const isType = match[1] === "interface" || match[1] === "type";
    return { name: match[2] ?? "", isType, comment: start < 0 ? "" : before.slice(start) };
  });
}

/** Exports of physics without a doc comment, and values among them whose comment names no source. */
function unsourced({ path, text }: SourceFile): string[] {
  return exportsOf(text)
    .filter(({ comment, isType }) => (isType ? comment === "" : !/\bSource: \S/u.test(comment)))
    .map(({ name }) => `${path} ${name}`);
}

describe("physics names its sources", () => {
  test("every function and table of physics says where it is from, every type what it is", () => {
    const physics = sourceFiles().filter(({ path }) => isUnder(path, "physics"));
    expect(physics.flatMap(({ text }) => exportsOf(text)).length).toBeGreaterThan(90);
    expect(physics.flatMap(unsourced)).toEqual([]);
  });

  test.each([
    ["export function bare(): number {"],
    ["/** Does a thing. */\nexport function unsourced(): number {"],
    ["/** Source: far away. */\nconst other = 1;\nexport const after = other;"],
    ["export interface Bare {"],
    ["/** Source:\n */\nexport const empty = 1;"],
  ])("the check itself can fail: %j", (text) => {
    expect(unsourced({ path: "physics/a.ts", text })).toHaveLength(1);
  });
});

test("the program says the version of its package", () => {
  const declared: unknown = JSON.parse(readFileSync(`${SRC}/../package.json`, "utf8"));
  expect(declared).toHaveProperty("version", VERSION);
});
