import { mkdtemp, readdir, readFile, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { runVerify } from "../../src/cli/verify.ts";
import type { VerificationDocument, VerifyOptions, VerifyResult } from "../../src/machine/verification.ts";
import { fakeTerminal } from "./fake-terminal.ts";

const HASH = "0".repeat(64);
const NOTHING = { compared: [], not_checked: [], unfit: [], bounds: [] };
const AGREES: VerificationDocument = {
  format: "fewframe-verification/1",
  fewframe: "0",
  title: "press \u001b[31m",
  agrees: true,
  tolerance: { of_demand: 1e-3, of_allowed: 1e-2 },
  inputs: { result: { path: "r.json", sha256: HASH }, problem: { path: "p.json", sha256: HASH } },
  changed: [],
  compared: 0,
  largest: null,
  machines: [],
  order: NOTHING,
  proof: { status: "proved", claim: "optimal", branches: 1, enumerated: 0, bound: 1, unit: "EUR", failed: [] },
};
const CURVE = { name: "press-ram", columns: [{ header: "time [s]", values: Float64Array.from([0, 1]) }] };

/** Has its comparison ready, and remembers how it was asked. */
function ready(document: VerificationDocument): { verifyResult: VerifyResult; asked: VerifyOptions[] } {
  const asked: VerifyOptions[] = [];
  const verifyResult: VerifyResult = async (_path, options) => {
    asked.push(options);
    return { ok: true, value: { document, series: options.series ? [CURVE] : [] } };
  };
  return { verifyResult, asked };
}

let folder = "";
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "fewframe-"));
});
afterEach(async () => rm(folder, { recursive: true }));

test("agreement exits 0, a difference 6, a fault in the input 3", async () => {
  const terminal = fakeTerminal(false);
  expect(await runVerify("r.json", {}, { ...ready(AGREES), terminal })).toBe(0);
  expect(terminal.printed()).not.toContain("\u001b");
  expect(await runVerify("r.json", {}, { ...ready({ ...AGREES, agrees: false }), terminal })).toBe(6);
  const place = { file: "r.json", pointer: "/machines" };
  const faulty: VerifyResult = async () => ({
    ok: false,
    faults: [{ code: "missing", place, found: "no picks", expected: "some" }],
  });
  expect(await runVerify("r.json", {}, { verifyResult: faulty, terminal })).toBe(3);
  expect(terminal.told()).toBe("r.json /machines: found no picks, expected some\n1 fault\n");
});

test("options reach the simulation; --json prints the document and nothing else", async () => {
  const terminal = fakeTerminal(false);
  const { verifyResult, asked } = ready(AGREES);
  await runVerify("r.json", { json: true, problem: "p.json", allowChanged: true }, { verifyResult, terminal });
  expect(asked).toEqual([{ problem: "p.json", allowChanged: true, series: false }]);
  expect(JSON.parse(terminal.printed())).toEqual(AGREES);
  expect(terminal.told()).toBe("");
});

test("--series leaves a CSV file for each curve, and nothing else", async () => {
  const terminal = fakeTerminal(false);
  await runVerify("r.json", { series: join(folder, "curves") }, { ...ready(AGREES), terminal });
  expect(await readdir(join(folder, "curves"))).toEqual(["press-ram.csv"]);
  expect(await readFile(join(folder, "curves", "press-ram.csv"), "utf8")).toBe("time [s]\n0\n1\n");
  expect(terminal.told()).toContain("press-ram.csv");
});
