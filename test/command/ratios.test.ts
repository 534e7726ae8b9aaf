import { mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { fewframe, ROOT } from "./built.ts";

const DRUM = "problems/drum-feeder-imperial.json";

let folder = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "fewframe-"));
});
afterAll(async () => rm(folder, { recursive: true }));

test("the print is that of the README, in 80 columns; --out leaves what it says", async () => {
  const { code, out, err } = await fewframe(
    "ratios",
    DRUM,
    "--axis",
    "drum",
    "--motor",
    "PC60-50-M30-R",
    "--out",
    folder,
  );
  expect(code).toBe(0);
  expect(out.split("\n").filter((line) => line.length > 80)).toEqual([]);
  const readme = await readFile(join(ROOT, "README.md"), "utf8");
  const [, shown] = /<!-- ratios-print: begin -->\n```\n([^]*?)```\n<!-- ratios-print: end -->/.exec(readme) ?? [];
  expect(out).toBe(shown);
  const files = await readdir(folder);
  expect(files.toSorted()).toEqual([
    "drum-feeder-imperial.ratios.feeder-drum-PC60-50-M30-R.csv",
    "drum-feeder-imperial.ratios.feeder-drum-PC60-50-M30-R.svg",
    "drum-feeder-imperial.ratios.feeder-drum-costs.svg",
    "drum-feeder-imperial.ratios.feeder-drum.csv",
    "drum-feeder-imperial.ratios.feeder-drum.json",
    "drum-feeder-imperial.ratios.feeder-drum.txt",
  ]);
  for (const file of files) expect(err).toContain(file);
  const curve = await readFile(join(folder, files.find((name) => name.endsWith("M30-R.csv")) ?? ""), "utf8");
  const [header, ...rows] = curve.trimEnd().split("\n");
  expect(header).toMatch(/^ratio,motor\.continuous_torque,/);
  expect(rows.length).toBeGreaterThan(40);
  expect(rows.every((row) => row.split(",").every((cell) => cell === "" || Number.isFinite(Number(cell))))).toBe(true);
});

test("an unknown axis or motor, and no axis at all, exit 2 and say what is near; a missing problem exits 3", async () => {
  const axis = await fewframe("ratios", DRUM, "--axis", "drun");
  expect(axis).toMatchObject({ code: 2, out: "" });
  expect(axis.err).toBe('--axis: found "drun", expected an axis of the problem (nearest: "drum")\n1 fault\n');
  const motor = await fewframe("ratios", DRUM, "--axis", "drum", "--motor", "PC60-50-M30-Q");
  expect(motor).toMatchObject({ code: 2, out: "" });
  expect(motor.err).toContain('nearest: "PC60-50-M30-');
  expect((await fewframe("ratios", DRUM)).code).toBe(2);
  expect((await fewframe("ratios", "none.json", "--axis", "drum")).code).toBe(3);
});
