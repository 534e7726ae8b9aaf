import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import { expect, test } from "vitest";
import type { ResultDocument } from "../../src/machine/result.ts";
import { partsCsv } from "../../src/report/parts-list.ts";
import { solveText } from "../../src/report/solve-text.ts";
import { randomDual } from "../oracle/random-dual.ts";
import { resultOf, verificationOf } from "../oracle/random-result.ts";

const schema = JSON.parse(readFileSync("shared/schemas/result.schema.json", "utf8"));
const validate = new Ajv2020({ strict: false }).compile(schema);
const STYLE = {
  strong: (text: string) => text,
  dim: (text: string) => text,
  good: (text: string) => text,
  warn: (text: string) => text,
};
const SEEDS = [5, 6, 14, 19, 33, 1014];

test.each(SEEDS)("random order %i: the substitutes that the result names pass in the simulation", async (seed) => {
  const random = randomDual(seed);
  const stated = await resultOf(random);
  if (stated === undefined) throw new Error("an order without an answer");
  validate(stated);
  expect(validate.errors).toBeNull();
  const { agrees, order } = verificationOf(random, stated);
  expect([agrees, order.unfit]).toEqual([true, []]);
  const { dualSource } = random.problem;
  for (const { kind, maker, substitute } of stated.parts) {
    expect(substitute === null).toBe(!dualSource.includes(kind));
    expect(substitute?.maker).not.toBe(maker);
  }
});

/** A result with other substitutes. */
function renamed(doc: ResultDocument, substitute: ResultDocument["parts"][number]["substitute"]): ResultDocument {
  return { ...doc, parts: doc.parts.map((part) => ({ ...part, ...(substitute === undefined ? {} : { substitute }) })) };
}

test("a substitute that does not do, is in no catalogue or is not named makes verify fail", async () => {
  const random = randomDual(14);
  const stated = await resultOf(random);
  const own = stated?.parts.find(({ kind }) => random.problem.dualSource.includes(kind));
  if (stated === undefined || own === undefined) throw new Error("no part that needs a substitute");
  const reasons = (doc: ResultDocument): readonly string[] => verificationOf(random, doc).order.unfit;
  expect(reasons(renamed(stated, null))[0]).toContain(`no substitute for ${own.kind}`);
  expect(reasons(renamed(stated, { id: "nowhere", maker: "Nobody" }))[0]).toContain("is in no catalogue");
  expect(reasons(renamed(stated, { id: own.id, maker: own.maker })).join("; ")).toContain("it is of the same maker");
  expect(verificationOf(random, renamed(stated, null)).agrees).toBe(false);
});

test("print and parts list show substitutes where they are demanded, and are as before where not", async () => {
  const random = randomDual(14);
  const stated = await resultOf(random);
  const plain = await resultOf({ ...random, problem: { ...random.problem, dualSource: [] } });
  if (stated === undefined || plain === undefined) throw new Error("an order without an answer");
  const named = stated.parts.flatMap(({ substitute }) => substitute ?? []);
  expect(named.length).toBeGreaterThan(0);
  const [text, csv] = [solveText(stated, STYLE), await partsCsv(stated)];
  for (const { id, maker } of named) {
    expect(text).toContain(`substitute ${id} (${maker})`);
    expect(csv).toContain(`"${id}","${maker}"`);
  }
  expect(csv.split("\n")[0]).toContain('"substitute","substitute maker"');
  expect(`${solveText(plain, STYLE)}${await partsCsv(plain)}`).not.toContain("substitute");
});
