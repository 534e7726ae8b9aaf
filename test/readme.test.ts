import { execFile } from "node:child_process";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { promisify } from "node:util";
import { expect, test } from "vitest";
import { faultLine } from "../src/faults/fault-line.ts";
import { CATALOGUE_COLUMNS } from "../src/input/catalogue-columns.ts";
import { COMMUTATIONS, CONSTRUCTIONS, FEEDBACKS, GEARBOX_STYLES } from "../src/input/part-choices.ts";
import { readProblem } from "../src/input/read-problem.ts";
import { SIZE_LIMITS } from "../src/input/size-limits.ts";
import { planStudy } from "../src/study-file.ts";

const ROOT = join(import.meta.dirname, "..");
const readme = await readFile(join(ROOT, "README.md"), "utf8");

/** Every word that stands in code in the text or as a key in an example. */
const inCode: ReadonlySet<string> = new Set(
  [...readme.matchAll(/`([^`\n]+)`|"(\w+)":/g)].flatMap(([, code, key = ""]) => (code ?? key).match(/[\w$-]+/g) ?? []),
);

const missing = (names: Iterable<string>): string[] => [...names].filter((name) => !inCode.has(name));

function keysOf(schema: unknown): string[] {
  if (typeof schema !== "object" || schema === null) return [];
  return Object.entries(schema).flatMap(([key, value]: [string, unknown]) =>
    key === "properties" && typeof value === "object" && value !== null
      ? [...Object.keys(value), ...Object.values(value).flatMap(keysOf)]
      : keysOf(value),
  );
}

test("every key of the problem schema that a command solves stands in the README", async () => {
  const schema: unknown = JSON.parse(await readFile(join(ROOT, "shared/schemas/problem.schema.json"), "utf8"));
  const keys = new Set(keysOf(schema));
  expect(keys.size).toBeGreaterThan(80);
  expect(missing(keys)).toEqual([]);
  expect(missing(["no_such_key"])).toEqual(["no_such_key"]);
});

test("every column of the catalogues and every name a cell may hold stands in the README", () => {
  const columns = Object.values(CATALOGUE_COLUMNS).flatMap((each) => Object.keys(each));
  expect(columns.length).toBeGreaterThan(80);
  expect(missing([...columns, ...CONSTRUCTIONS, ...FEEDBACKS, ...GEARBOX_STYLES, ...COMMUTATIONS])).toEqual([]);
});

test("no heading and no paragraph stands twice in README, DEVELOPERS.md or the worked example", async () => {
  for (const file of ["README.md", "DEVELOPERS.md", "problems/README.md"]) {
    const text = await readFile(join(ROOT, file), "utf8");
    const telling = text.split(/\n+/).filter((line) => /^#+ /.test(line) || line.length > 80);
    expect(telling.length).toBeGreaterThan(10);
    const said = telling.map((line) => line.replace(/^#+ /, ""));
    expect(said.filter((line, k) => said.indexOf(line) !== k)).toEqual([]);
  }
});

test("the bounds on input are those of the README", () => {
  const { problemBytes, catalogueBytes, certificateBytes, nesting, cellCharacters, tableRows } = SIZE_LIMITS;
  expect(readme).toContain(
    `\`catalog.json\` ${problemBytes / 1e6} MB, a CSV file ${catalogueBytes / 1e6} MB, a certificate ${certificateBytes / 1e6} MB, ${nesting} levels of nesting, ${cellCharacters.toLocaleString("en")} characters in a cell, ${tableRows.toLocaleString("en")} rows`,
  );
});

/** A JSON example of the README by its title, with the shipped catalogues in place of those beside it. */
function exampleOf(title: string): string {
  const [, text = ""] = new RegExp(`\`\`\`json\n(\\{\n {2}"title": "${title}"[^]*?)\`\`\``, "u").exec(readme) ?? [];
  return text.replaceAll("../catalogs", join(ROOT, "catalogs"));
}

test("problem and study of the README read without a fault, and the study is what its text says", async () => {
  const folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  try {
    const [problem, study] = [join(folder, "press.json"), join(folder, "study.json")];
    await writeFile(problem, exampleOf("label press"));
    await writeFile(study, exampleOf("what the press hangs on"));
    const read = await readProblem(problem);
    expect(read.ok ? [] : read.faults.map(faultLine)).toEqual([]);
    expect(read.ok ? read.value.problem.machines.flatMap(({ axes }) => axes.map(({ id }) => id)) : []).toEqual([
      "slide",
      "ram",
    ]);
    const planned = await planStudy(study);
    expect(planned.ok ? [] : planned.faults.map(faultLine)).toEqual([]);
    expect(planned.ok && [planned.value.design.points.length, planned.value.noise?.points.length]).toEqual([40, 2]);
  } finally {
    await rm(folder, { recursive: true });
  }
});

test("the selection model of the README runs as it stands and prints what its comments say", async () => {
  const [, example = ""] = /```js\n([^]*?)```/.exec(readme) ?? [];
  const folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  try {
    const path = join(folder, "example.mjs");
    const built = pathToFileURL(join(ROOT, "dist/index.js")).href;
    await writeFile(path, example.replace('"fewframe"', JSON.stringify(built)));
    const { stdout } = await promisify(execFile)(process.execPath, [path]);
    const said = [...example.matchAll(/^console\.log.*\/\/ (.*)$/gmu)].map(([, comment]) => comment);
    expect(said).toHaveLength(3);
    expect(stdout.trim().split("\n")).toEqual(said);
  } finally {
    await rm(folder, { recursive: true });
  }
});
