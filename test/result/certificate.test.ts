import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import { expect, test } from "vitest";
import type { SolveFileOptions } from "../../src/machine/run.ts";
import { problemPath, run, valueOf } from "./run-file.ts";

const schema: object = JSON.parse(readFileSync("shared/schemas/certificate.schema.json", "utf8"));
const validate = new Ajv2020({ allErrors: true, strict: true, strictTypes: false }).compile(schema);

interface Proofs {
  readonly proofs: readonly {
    readonly limit: number | null;
    readonly branches: readonly { readonly parent: number; readonly bound: number | null; readonly closedBy: string }[];
    readonly judged: readonly { readonly cost?: number }[];
  }[];
}

async function proofsOf(
  stem: string,
  options: Partial<SolveFileOptions>,
): Promise<Proofs & { readonly total: number }> {
  const { certificate, document } = valueOf(await run(problemPath(stem), options));
  const parsed: unknown = JSON.parse(certificate ?? "");
  validate(parsed);
  expect(validate.errors).toBeNull();
  return { ...(parsed as Proofs), total: Math.round((document.objective?.total ?? Number.NaN) * 100) };
}

test.each(["drum-feeder-imperial", "tray-transplanter"])(
  "the certificate of %s is valid by its schema and leaves nothing below a cent under the total open",
  async (stem) => {
    const { proofs, total } = await proofsOf(stem, {});
    expect(proofs.flatMap(({ judged }) => judged.map(({ cost }) => cost))).toContain(total);
    for (const { limit, branches } of proofs) {
      expect(limit ?? Number.POSITIVE_INFINITY).toBeGreaterThan(total - 1);
      expect(branches.filter(({ closedBy }) => closedBy === "open")).toEqual([]);
      expect(branches.every(({ parent }, index) => parent < index)).toBe(true);
      const proved = branches.filter(({ closedBy }) => closedBy === "bound");
      for (const { bound } of proved) expect(bound ?? Number.POSITIVE_INFINITY).toBeGreaterThan(total - 1);
    }
  },
);

test("a certificate of a search that was stopped says what it left open", async () => {
  const { proofs } = await proofsOf("drum-feeder-imperial", { timeLimit: 0 });
  expect(proofs.flatMap(({ branches }) => branches.map(({ closedBy }) => closedBy))).toContain("open");
});
