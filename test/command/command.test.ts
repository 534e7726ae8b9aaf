import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtemp, readdir, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { fewframe } from "./built.ts";

let folder = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "fewframe-"));
});
afterAll(async () => rm(folder, { recursive: true }));

test("--help names the commands and the exit codes, exit 0", async () => {
  const { code, out } = await fewframe("--help");
  expect(code).toBe(0);
  expect(out).toMatch(/check[\s\S]*solve[\s\S]*Exit codes/);
  expect(out.split("\n").filter((line) => line.length > 80)).toEqual([]);
});

test("solve --help names every option, exit 0", async () => {
  const { code, out } = await fewframe("solve", "--help");
  expect(code).toBe(0);
  const options = [
    "--json",
    "--out",
    "--engine",
    "--time-limit",
    "--write-model",
    "--no-explain",
    "--quiet",
    "--no-color",
  ];
  expect(options.filter((option) => !out.includes(option))).toEqual([]);
});

test.each([
  ["no command", []],
  ["an unknown command", ["slove", "x.json"]],
  ["no problem", ["solve"]],
  ["an unknown option", ["check", "x.json", "--colour"]],
  ["too many problems", ["check", "x.json", "y.json"]],
  ["a time limit that is no number", ["solve", "x.json", "--time-limit", "soon"]],
  ["a time limit of nothing", ["solve", "x.json", "--time-limit", "0"]],
  ["an unknown engine", ["solve", "x.json", "--engine", "steam"]],
])("%s: exit 2, a message on standard error, nothing on standard output", async (_name, args) => {
  const { code, out, err } = await fewframe(...args);
  expect(code).toBe(2);
  expect(out).toBe("");
  expect(err.length).toBeGreaterThan(10);
});

test("a problem that is not there: exit 3", async () => {
  const { code, err } = await fewframe("check", join(folder, "none.json"));
  expect(code).toBe(3);
  expect(err).toMatch(/none\.json[\s\S]*1 fault\n$/);
});

test("a problem with faults: exit 3, one line each, their number last", async () => {
  const path = join(folder, "bad.json");
  await writeFile(path, JSON.stringify({ titel: "x", catalogs: [], machines: "none" }));
  const { code, out, err } = await fewframe("check", path);
  expect(code).toBe(3);
  expect(out).toBe("");
  const lines = err.trimEnd().split("\n");
  expect(lines.at(-1)).toBe(`${lines.length - 1} faults`);
  expect(lines.filter((line) => line.includes("/titel"))).toHaveLength(1);
});

test("a clean problem: exit 0, what was read within 80 columns and without colour", async () => {
  const { code, out, err } = await fewframe("check", "problems/tray-transplanter.json");
  expect(code).toBe(0);
  expect(err).toBe("");
  expect(out).toMatch(/READ[\s\S]*MACHINES[\s\S]*PARTS[\s\S]*DEFAULTS[\s\S]*TAKE CARE/);
  expect(out).not.toContain("\u001b");
  expect(out.split("\n").filter((line) => line.length > 80)).toEqual([]);
});

test("check --json prints one JSON document with the input files and their hashes", async () => {
  const { code, out } = await fewframe("check", "problems/tray-transplanter.json", "--json");
  expect(code).toBe(0);
  const { faults, inputs } = JSON.parse(out);
  expect(faults).toEqual([]);
  expect(inputs.problem.sha256).toMatch(/^[0-9a-f]{64}$/);
});

test("a reader that stops before anything is printed: the files are written all the same, exit 0", async () => {
  const out = join(folder, "unread");
  const args = ["solve", "problems/drum-feeder-imperial.json", "--no-explain", "--out", out];
  const child = spawn(process.execPath, ["dist/cli/main.js", ...args], { stdio: ["ignore", "pipe", "pipe"] });
  child.stdout.destroy();
  child.stderr.destroy();
  const [code] = await once(child, "close");
  expect(code).toBe(0);
  expect((await readdir(out)).toSorted()).toEqual(
    ["certificate.json", "parts.csv", "result.json", "txt"].map((ending) => `drum-feeder-imperial.${ending}`),
  );
});
