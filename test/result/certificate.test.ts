import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import { expect, test } from "vitest";
import type { SolveFileOptions } from "../../src/machine/run.ts";
import type { Findings, Searching } from "../../src/prove/findings.ts";
import { certificateText, findingsFrom } from "../../src/result/certificate-text.ts";
import { proveAgain } from "../../src/solve/certificate.ts";
import type { Outcome } from "../../src/solve/outcome.ts";
import { solveModel } from "../../src/solve/solve-model.ts";
import { randomModel } from "../solve/random-model.ts";
import { problemPath, run, valueOf } from "./run-file.ts";

const schema: object = JSON.parse(readFileSync("shared/schemas/certificate.schema.json", "utf8"));
const validate = new Ajv2020({ allErrors: true, strict: true, strictTypes: false, discriminator: true }).compile(
  schema,
);

/** The certificate of a demonstration problem, valid by the schema, and the total of its answer [cent]. */
async function proofsOf(
  stem: string,
  options: Partial<SolveFileOptions>,
): Promise<{ readonly proofs: Outcome["certificate"][]; readonly total: number }> {
  const { certificate = "", document } = valueOf(await run(problemPath(stem), options));
  expectValid(certificate);
  return {
    proofs: searchesIn(findingsFrom(certificate)),
    total: Math.round((document.objective?.total ?? Number.NaN) * 100),
  };
}

function searchesIn({ steps }: Findings): Searching[] {
  return steps.filter((step) => step.kind === "search");
}

function expectValid(text: string): void {
  validate(JSON.parse(text));
  expect(validate.errors).toBeNull();
}

test.each(["drum-feeder-imperial", "tray-transplanter"])(
  "the certificate of %s is valid by its schema and leaves nothing below a cent under the total open",
  async (stem) => {
    const { proofs, total } = await proofsOf(stem, {});
    expect(proofs.flatMap(({ judged }) => judged.map(({ cost }) => cost))).toContain(total);
    for (const { limit, branches } of proofs) {
      expect(limit).toBeGreaterThan(total - 1);
      expect(branches.filter(({ closedBy }) => closedBy === "open")).toEqual([]);
      expect(branches.every(({ parent }, index) => parent < index)).toBe(true);
      const proved = branches.filter(({ closedBy }) => closedBy === "bound");
      for (const { bound } of proved) expect(bound).toBeGreaterThan(total - 1);
    }
  },
);

test("a certificate of a search that was stopped says what it left open", async () => {
  const { proofs } = await proofsOf("drum-feeder-imperial", { timeLimit: 0 });
  expect(proofs.flatMap(({ branches }) => branches.map(({ closedBy }) => closedBy))).toContain("open");
});

const solved = (seed: number, secondsLeft = 600): Promise<Outcome> =>
  solveModel(randomModel(seed), { engine: "simplex", secondsLeft: () => secondsLeft });

test("certificates come back from their text as they were, what is infinite included, and prove the same", async () => {
  const limits = new Set<number>();
  const bounds = new Set<number>();
  for (const [seed, secondsLeft] of Array.from({ length: 60 }, (_, index) => [index + 1, index % 6 === 0 ? 0 : 600])) {
    const { model, certificate } = await solved(seed ?? 1, secondsLeft);
    const step = {
      kind: "search",
      columns: model.groups.map(({ columns }) => columns.length),
      ...certificate,
    } as const;
    const findings = { stopped: null, steps: [step, step] };
    const text = certificateText(findings);
    expectValid(text);
    expect(findingsFrom(text)).toEqual(findings);
    const [read = step] = searchesIn(findingsFrom(text));
    expect(proveAgain(model, read)).toEqual(proveAgain(model, certificate));
    limits.add(certificate.limit);
    for (const { bound } of certificate.branches) bounds.add(bound);
  }
  expect([...limits]).toContain(Number.POSITIVE_INFINITY);
  expect([...bounds]).toEqual(expect.arrayContaining([Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]));
});

test("a part called Infinity keeps its name", () => {
  const axes = [{ motor: ["Infinity", "-Infinity"], drive: ["limit", "bound"] }] as const;
  const found = { cost: 1, machines: [{ axes, buses: [] }] };
  const findings = { stopped: 3, steps: [{ kind: "answer", found, strained: [] }] } as const;
  const text = certificateText(findings);
  expectValid(text);
  expect(findingsFrom(text)).toEqual(findings);
});

test("a limit or a bound that says nothing is not valid", () => {
  const branch = { parent: -1, steps: [], multipliers: { links: {}, caps: {}, rows: {} }, closedBy: "bound" };
  const file = (limit: unknown, bound: unknown): unknown => ({
    format: "fewframe-certificate/4",
    stopped: null,
    steps: [{ kind: "search", columns: [], limit, branches: [{ ...branch, bound }], judged: [] }],
  });
  expect(validate(file("Infinity", "-Infinity"))).toBe(true);
  expect(validate(file(1, 1))).toBe(true);
  expect(validate(file(null, 1))).toBe(false);
  expect(validate(file(1, null))).toBe(false);
  expect(validate(file("-Infinity", 1))).toBe(false);
  expect(validate(file(1, "many"))).toBe(false);
});
