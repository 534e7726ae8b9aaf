import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import { expect, test } from "vitest";
import { LIMIT_IDS } from "../../src/machine/limit.ts";
import type { ResultDocument } from "../../src/machine/result.ts";
import { documentText } from "../../src/report/document-text.ts";
import { optimalDocument, SAMPLES } from "./sample-documents.ts";

const schema = JSON.parse(readFileSync("shared/schemas/result.schema.json", "utf8"));
const validate = new Ajv2020({ allErrors: true, strict: true, strictTypes: false, strictRequired: false }).compile(
  schema,
);

test.each(SAMPLES)("the %s document is valid by its schema (JSON Schema draft 2020-12)", (_name, doc) => {
  validate(JSON.parse(documentText(doc)));
  expect(validate.errors).toBeNull();
});

test("the schema knows exactly the limits of the program", () => {
  expect(schema.$defs.limitId.enum).toEqual(LIMIT_IDS);
});

type Doctor = { readonly at: readonly (string | number)[]; readonly value: unknown };
const DOCTORED: readonly (readonly [string, Doctor])[] = [
  ["an unknown member", { at: ["winner"], value: true }],
  ["a missing member", { at: ["gap"], value: undefined }],
  ["an answer called infeasible", { at: ["status"], value: "infeasible" }],
  ["an answer without a bound", { at: ["bound"], value: null }],
  ["a gap under proven lowest", { at: ["gap"], value: 0.01 }],
  ["no machines in an answer", { at: ["machines"], value: [] }],
  ["text for a number", { at: ["machines", 0, "quantity"], value: "4" }],
  ["an unknown limit", { at: ["limits", 0, "id"], value: "motor.colour" }],
  ["a hash that is none", { at: ["inputs", "problem", "sha256"], value: "abc" }],
  ["an unknown member deep inside", { at: ["machines", 0, "axes", 0, "colour"], value: 1 }],
];

/** A copy with one member changed, added, or (undefined) taken away. */
function doctored(doc: ResultDocument, { at, value }: Doctor): unknown {
  const copy = JSON.parse(documentText(doc));
  const last = at.at(-1) ?? "";
  const holder = at.slice(0, -1).reduce((node, step) => node[step], copy);
  if (value === undefined) delete holder[last];
  else holder[last] = value;
  return copy;
}

test.each(DOCTORED)("%s fails the schema", (_name, doctor) => {
  expect(validate(JSON.parse(documentText(optimalDocument())))).toBe(true);
  expect(validate(doctored(optimalDocument(), doctor))).toBe(false);
});
