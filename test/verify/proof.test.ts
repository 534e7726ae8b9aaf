import { createHash } from "node:crypto";
import { appendFile, mkdtemp, readFile, rename, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { ProofCheck } from "../../src/machine/verification.ts";
import { verifyText } from "../../src/report/verify-text.ts";
import { run, valueOf } from "../result/run-file.ts";
import { type Solved, solvedIn, verified, writtenWhole } from "./solved.ts";

const STEM = "drum-feeder-imperial";

let folder = "";
let feeder: Solved;
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  feeder = await solvedIn(folder, STEM);
});
afterAll(async () => rm(folder, { recursive: true }));

/** Content of a JSON file that a test may change at will. */
type Json = ReturnType<typeof JSON.parse>;

async function certificatePath(): Promise<string> {
  return join(folder, "out", feeder.document.certificate?.file ?? "");
}

/** Result and certificate after a change of either, the hash put right: what a careful liar would hand over. */
async function lied(change: (certificate: Json, result: Json) => void): Promise<string> {
  const certificate: Json = JSON.parse(await readFile(await certificatePath(), "utf8"));
  const result: Json = structuredClone(feeder.document);
  change(certificate, result);
  const text = JSON.stringify(certificate);
  result.certificate = { file: "lie.certificate.json", sha256: createHash("sha256").update(text).digest("hex") };
  await writeFile(join(folder, "out", "lie.certificate.json"), text);
  const path = join(folder, "out", "lie.result.json");
  await writeFile(path, JSON.stringify(result));
  return path;
}

async function proofOf(path: string): Promise<ProofCheck & { readonly agrees: boolean; readonly print: string }> {
  const { document } = await verified(path);
  const print = verifyText(document);
  expect(print.split("\n").filter((line) => line.length > 80)).toEqual([]);
  return { ...document.proof, agrees: document.agrees, print };
}

test("an optimum is proved again from problem and certificate", async () => {
  const proof = await proofOf(feeder.path);
  const total = feeder.document.objective?.total;
  expect(proof).toMatchObject({ status: "proved", claim: "optimal", bound: total, failed: [], agrees: true });
  expect(proof.print).toMatch(/^PROOF +No cheaper order: proved again/m);
});

test("an untouched copy through text is proved, too; each lie is refuted at its place", async () => {
  expect((await proofOf(await lied(() => undefined))).status).toBe("proved");
  const lies: readonly (readonly [string, (certificate: Json, result: Json) => void])[] = [
    ["lie.result.json /objective/total", (_, result) => (result.objective.total += 1)],
    ["lie.certificate.json /steps", (certificate) => certificate.steps.pop()],
    ["lie.certificate.json /steps/0", (certificate) => certificate.steps.shift()],
    ["lie.certificate.json /steps/1/found/cost", ({ steps }) => (steps[1].found.cost -= 1)],
    ["lie.certificate.json /steps/1/colour", ({ steps }) => (steps[1].colour = "red")],
    ["lie.certificate.json /steps/3/limit", ({ steps }) => (steps[3].limit -= 100)],
    ["lie.certificate.json /steps/2/kept/0", ({ steps }) => (steps[2].kept[0] = [])],
    ["lie.certificate.json /steps/3/judged/0/cost", ({ steps }) => (steps[3].judged[0].cost -= 1)],
  ];
  for (const [at, lie] of lies) {
    const { status, failed, agrees, print } = await proofOf(await lied(lie));
    expect(status).toBe("refuted");
    expect(agrees).toBe(false);
    expect(failed.map((one) => one.at)).toContain(join(folder, "out", at));
    expect(print).toMatch(/^PROOF +DOES NOT HOLD/m);
  }
});

test("a certificate that is not there, changed, or of another version is told; the simulation stands", async () => {
  const path = await certificatePath();
  await rename(path, `${path}.away`);
  expect(await proofOf(feeder.path)).toMatchObject({ status: "not-given", agrees: true });
  await rename(`${path}.away`, path);
  const before = await readFile(path, "utf8");
  await appendFile(path, "\n");
  expect(await proofOf(feeder.path)).toMatchObject({ status: "refuted", agrees: false });
  await writeFile(path, before);
  const old = await lied((certificate) => (certificate.format = "fewframe-certificate/1"));
  const { status, print } = await proofOf(old);
  expect(status).toBe("not-checked");
  expect(print.replaceAll(/\s+/g, " ")).toContain("cannot be proved again: made by another version");
  const without = await lied((_, result) => (result.fewframe = "0.0.0"));
  expect((await proofOf(without)).status).toBe("not-checked");
});

test("what a stopped search states is proved, and not a cent more", async () => {
  const path = join(folder, "out", "stopped.result.json");
  const stopped = valueOf(await run(feeder.problem, { timeLimit: 0 }));
  const stated = await writtenWhole(path, stopped);
  expect(["feasible", "unknown"]).toContain(stated.status);
  expect(await proofOf(path)).toMatchObject({ status: "proved", claim: stated.status, failed: [] });
  const high = { ...stated, bound: (stated.bound ?? 0) + 1 };
  await writeFile(path, JSON.stringify(high));
  expect(await proofOf(path)).toMatchObject({ status: "refuted", failed: [{ at: `${path} /bound` }] });
});

test("that there is no order at all is proved by judging again; that there is none where there is one is refuted", async () => {
  const { path, document } = await solvedIn(folder, "stone-lift-infeasible");
  expect(document.certificate).toBeNull();
  const proof = await proofOf(path);
  expect(proof).toMatchObject({ status: "proved", claim: "infeasible", bound: null, agrees: true });
  expect(proof.print).toContain("there is nothing to simulate");
  const { infeasible } = document;
  const nothing = {
    status: "infeasible",
    infeasible,
    machines: [],
    objective: null,
    bound: null,
    gap: null,
    certificate: null,
  };
  const lie = join(folder, "out", "nothing.result.json");
  await writeFile(lie, JSON.stringify({ ...feeder.document, ...nothing }));
  expect(await proofOf(lie)).toMatchObject({ status: "refuted", agrees: false });
});
