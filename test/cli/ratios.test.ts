import { mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { type RatiosFlags, runRatios } from "../../src/cli/ratios.ts";
import type { RatiosDocument, RatiosFile } from "../../src/machine/ratios.ts";
import { fakeTerminal } from "./fake-terminal.ts";

const HASH = "0".repeat(64);
const DOCUMENT: RatiosDocument = {
  format: "fewframe-ratios/1",
  fewframe: "0",
  title: "press \u001b[31m",
  currency: "EUR",
  machine: "press",
  quantity: 1,
  axis: "ram/1",
  mechanism: "rack",
  carried: { mass: 0, from: "nothing", riders: [] },
  allowed_ratios: null,
  energy_years: 0,
  asked: false,
  motors: [],
  others: [],
  unfit: [],
  cautions: [],
  inputs: { problem: { path: "p.json", sha256: HASH }, catalogs: [{ path: "c/catalog.json", sha256: HASH }] },
};
const FLAGS: RatiosFlags = { axis: "ram/1", color: true };

/** Has its document ready, and remembers how it was asked. */
function ready(): { ratiosFile: RatiosFile; asked: unknown[][] } {
  const asked: unknown[][] = [];
  return {
    asked,
    ratiosFile: async (...args) => {
      asked.push(args);
      return { ok: true, value: DOCUMENT };
    },
  };
}

function faulty(...files: string[]): RatiosFile {
  const faults = files.map((file) => ({
    code: "unknown-name",
    place: { file, pointer: "" },
    found: '"x"',
    expected: "a name",
  }));
  return async () => ({ ok: false, faults });
}

let folder = "";
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "fewframe-"));
});
afterEach(async () => rm(folder, { recursive: true }));

test("ratios exit 0; a name that an option gave is a bad command line, any fault in a file bad input", async () => {
  const terminal = fakeTerminal(false);
  expect(await runRatios("p.json", FLAGS, { ...ready(), terminal })).toBe(0);
  expect(terminal.printed()).toMatch(/^press \?\[31m\nRATIOS {5}ram\/1 \(rack\)/);
  expect(await runRatios("p.json", FLAGS, { ratiosFile: faulty("--axis"), terminal })).toBe(2);
  expect(terminal.told()).toBe('--axis: found "x", expected a name\n1 fault\n');
  expect(await runRatios("p.json", FLAGS, { ratiosFile: faulty("p.json"), terminal })).toBe(3);
  expect(await runRatios("p.json", FLAGS, { ratiosFile: faulty("--motor", "p.json"), terminal })).toBe(3);
});

test("options reach the library; --json prints the document and nothing else", async () => {
  const terminal = fakeTerminal(false);
  const { ratiosFile, asked } = ready();
  const flags = { ...FLAGS, motor: ["A", "B"], result: "r.json", json: true } as const;
  expect(await runRatios("p.json", flags, { ratiosFile, terminal })).toBe(0);
  expect(asked).toEqual([["p.json", "ram/1", { motors: ["A", "B"], result: "r.json" }]]);
  expect(JSON.parse(terminal.printed())).toEqual(DOCUMENT);
  expect(terminal.told()).toBe("");
});

test("--out leaves document, print and table, paths of the inputs seen from the folder; --quiet does not say so", async () => {
  const terminal = fakeTerminal(false);
  const out = join(folder, "out");
  expect(await runRatios("some/p.json", { ...FLAGS, out, quiet: true }, { ...ready(), terminal })).toBe(0);
  expect((await readdir(out)).toSorted()).toEqual([
    "p.ratios.press-ram_1.csv",
    "p.ratios.press-ram_1.json",
    "p.ratios.press-ram_1.txt",
  ]);
  expect(terminal.told()).toBe("");
  const { inputs } = JSON.parse(await readFile(join(out, "p.ratios.press-ram_1.json"), "utf8"));
  expect(inputs.problem.path).toMatch(/^\.\.\/.*p\.json$/);
  await runRatios("some/p.json", { ...FLAGS, out }, { ...ready(), terminal });
  expect(terminal.told()).toMatch(/^wrote .*p\.ratios\.press-ram_1\.json/);
});

test("an output that would lie on an input is refused before anything is written", async () => {
  const terminal = fakeTerminal(false);
  const result = join(folder, "p.ratios.press-ram_1.json");
  await writeFile(result, "mine");
  expect(await runRatios("p.json", { ...FLAGS, out: folder, result }, { ...ready(), terminal })).toBe(2);
  expect(terminal.told()).toBe("error: --out would overwrite an input\n");
  expect(await readFile(result, "utf8")).toBe("mine");
});
