import { mkdtemp, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { departures } from "../study/document-schema.ts";
import { fewframe } from "./built.ts";

let folder = "";
let example = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  example = await readFile("problems/README.md", "utf8");
});
afterAll(async () => rm(folder, { recursive: true }));

/** What stands between two marks of the worked example. */
function shown(name: string): string {
  const [, print = ""] =
    new RegExp(`<!-- ${name}: begin -->\n\`\`\`\n([^]*?)\n\`\`\`\n<!-- ${name}: end -->`, "u").exec(example) ?? [];
  expect(print.length).toBeGreaterThan(100);
  return print;
}

/** What a study of the problems prints; the document it leaves is valid by its schema. */
async function printed(study: string): Promise<string> {
  const { out } = await fewframe("study", `problems/${study}.json`, "--out", folder, "--quiet");
  const document = await readFile(join(folder, `${study}.study`, "study.json"), "utf8");
  expect(departures(JSON.parse(document))).toEqual([]);
  return out;
}

test("the screening prints what the worked example shows of it", async () => {
  const print = await printed("transplanter-screening");
  expect(print.startsWith(`${shown("screening-print")}\n`)).toBe(true);
  expect(print).toContain(`\n\n${shown("screening-total")}\n\n`);
  // The figures of the text are those of the print, rounded.
  for (const words of ["saves EUR 2,301", "worth EUR 1,097", "mass 666", "saves 607"]) expect(example).toContain(words);
  expect(print).toMatch(
    /pace +-2,301 [*]{2}\n {4}gantry-mass +1,097 [*]\n {4}lift-mass +666\.4 [*]\n {4}pulley +-606\.6 [*]/u,
  );
}, 300_000);

test("the surface prints what the worked example shows, whole, and its centre is the demo as shipped", async () => {
  expect(await printed("transplanter-surface")).toBe(`${shown("surface-print")}\n`);
  const runs = await readFile(join(folder, "transplanter-surface.study", "runs.csv"), "utf8");
  expect(runs).toContain('"15","15","1","34","7.5","optimal","","22993.53"');
  // Pace in the middle of the others: 24,445.68 at 0.85, 22,993.53 at 1, 22,080.20 at 1.15.
  expect(runs).toMatch(/"0\.85","34","7\.5","optimal","","24445\.68"[^]*"1\.15","34","7\.5","optimal","","22080\.2"/u);
}, 300_000);
