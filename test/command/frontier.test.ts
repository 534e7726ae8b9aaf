import { mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { fewframe } from "./built.ts";

const FEEDER = "problems/drum-feeder-imperial.json";

let folder = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "fewframe-"));
});
afterAll(async () => rm(folder, { recursive: true }));

test("the print of the demo is that of the README: exit 0", async () => {
  const { code, out } = await fewframe("frontier", "problems/tray-transplanter.json", "--quiet");
  expect(code).toBe(0);
  const readme = await readFile("README.md", "utf8");
  const [, shown] =
    /<!-- frontier-print: begin[^>]*-->\n```\n([^]*?)```\n<!-- frontier-print: end -->/.exec(readme) ?? [];
  expect(out).toBe(shown);
});

test("--help names every option; commander turns down what is not one, exit 2", async () => {
  const { out } = await fewframe("frontier", "--help");
  const options = ["--by", "--and", "--without-variety", "--json", "--out", "--engine", "--time-limit", "--no-color"];
  expect(options.filter((option) => !out.includes(option))).toEqual([]);
  const wrong = [["--by", "colours"], ["--by", "motors", "--and", "motors"], ["--time-limit", "soon"], ["--fewer"]];
  for (const flags of wrong) {
    const { code, out: printed, err } = await fewframe("frontier", FEEDER, ...flags);
    expect([flags, code, printed]).toEqual([flags, 2, ""]);
    expect(err.length).toBeGreaterThan(10);
  }
});

test("faults of the input: exit 3, nothing on standard output", async () => {
  const path = join(folder, "bad.json");
  await writeFile(path, JSON.stringify({ titel: "x", catalogs: [], machines: "none" }));
  const { code, out, err } = await fewframe("frontier", path, "--quiet");
  expect([code, out]).toEqual([3, ""]);
  expect(err).toMatch(/\/titel[\s\S]*faults\n$/);
});

test("a problem without any order: exit 4, with the axis that nothing passes on", async () => {
  const { code, out } = await fewframe("frontier", "problems/stone-lift-infeasible.json", "--quiet");
  expect(code).toBe(4);
  expect(out).toMatch(/no candidate passes on \w+/);
});

test("--out leaves document, table and print; --json is the document", async () => {
  const flags = ["--by", "gearboxes", "--and", "drives", "--quiet"];
  const written = await fewframe("frontier", FEEDER, ...flags, "--out", folder);
  expect(written).toMatchObject({ code: 0, err: "" });
  const stem = "drum-feeder-imperial.frontier-gearboxes-drives";
  const names = (await readdir(folder)).filter((name) => name.startsWith(stem)).toSorted();
  expect(names).toEqual(["csv", "json", "table.svg", "txt"].map((ending) => `${stem}.${ending}`));
  expect(await readFile(join(folder, `${stem}.txt`), "utf8")).toBe(written.out);
  const { out } = await fewframe("frontier", FEEDER, ...flags, "--json");
  const { points, inputs } = JSON.parse(out);
  const document = JSON.parse(await readFile(join(folder, `${stem}.json`), "utf8"));
  expect(points.length).toBeGreaterThan(1);
  expect(document.points).toEqual(points);
  expect(document.inputs.problem.sha256).toBe(inputs.problem.sha256);
});
