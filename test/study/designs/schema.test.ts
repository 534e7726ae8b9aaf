import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import { describe, expect, test } from "vitest";
import type { DesignKind, DesignRequest } from "../../../src/study/designs/design.ts";

interface Variant {
  readonly additionalProperties: unknown;
  readonly properties: Readonly<Record<string, { readonly const?: string; readonly description?: string }>>;
}
const schema = JSON.parse(
  readFileSync(new URL("../../../shared/schemas/design.schema.json", import.meta.url), "utf8"),
) as {
  oneOf: Variant[];
};
// As problem files are checked.
const isValid = new Ajv2020({ allErrors: true, discriminator: true, allowUnionTypes: true }).compile(schema);

/** Wishes the schema takes, every key of every kind among them. */
const VALID: { readonly [K in DesignKind]: readonly DesignRequest<K>[] } = {
  "full-factorial": [
    { kind: "full-factorial" },
    { kind: "full-factorial", levels: 3 },
    { kind: "full-factorial", levels: { speed: 4 } },
  ],
  "fractional-factorial": [
    { kind: "fractional-factorial", resolution: 4, runs: 16 },
    { kind: "fractional-factorial", generators: ["E = A B C D"] },
  ],
  "plackett-burman": [{ kind: "plackett-burman" }, { kind: "plackett-burman", runs: 12, fold_over: true }],
  "box-behnken": [{ kind: "box-behnken", centre_points: 3 }],
  "central-composite": [
    { kind: "central-composite", star: "face-centred", cube: "fraction", centre_points: 6 },
    { kind: "central-composite", star: 1.5 },
  ],
  "definitive-screening": [{ kind: "definitive-screening" }],
  "latin-hypercube": [{ kind: "latin-hypercube", runs: 30 }],
  sobol: [{ kind: "sobol", runs: 64, skip: 1 }],
  halton: [{ kind: "halton", runs: 64, skip: 0 }],
  "d-optimal": [{ kind: "d-optimal", runs: 20, model: "quadratic", candidates: 5, starts: 20 }],
  sensitivity: [{ kind: "sensitivity", base: 1024 }],
  given: [{ kind: "given", file: "runs.csv" }],
};

test("the schema names the kinds of the program, each with every key it takes", () => {
  const kinds = schema.oneOf.map(({ properties }) => properties["kind"]?.const);
  expect(kinds).toEqual(Object.keys(VALID));
  for (const { properties } of schema.oneOf) {
    const kind = properties["kind"]?.const as DesignKind;
    const used = new Set(VALID[kind].flatMap((request) => Object.keys(request)));
    expect([kind, used]).toEqual([kind, new Set(Object.keys(properties))]);
  }
});

test("no key passes unnamed or undescribed", () => {
  for (const { additionalProperties, properties } of schema.oneOf) {
    expect(additionalProperties).toBe(false);
    for (const [key, described] of Object.entries(properties)) {
      expect([key, key === "kind" || typeof described.description === "string"]).toEqual([key, true]);
    }
  }
});

describe("wishes", () => {
  test.each(Object.values(VALID).flat())("valid: %j", (request) => {
    expect(isValid(request)).toBe(true);
  });

  test.each([
    {},
    { kind: "doptimal", runs: 5 },
    { kind: "sobol" },
    { kind: "sobol", runs: 8.5 },
    { kind: "sobol", runs: 8, scramble: true },
    { kind: "halton", runs: 8, skip: -1 },
    { kind: "full-factorial", levels: 1 },
    { kind: "full-factorial", levels: "3" },
    { kind: "full-factorial", levels: { speed: 1 } },
    { kind: "fractional-factorial", resolution: "IV" },
    { kind: "fractional-factorial", generators: [] },
    { kind: "plackett-burman", runs: 14 },
    { kind: "central-composite", star: "cuboidal" },
    { kind: "central-composite", star: 0 },
    { kind: "box-behnken", centre_points: 0 },
    { kind: "d-optimal", runs: 12, model: "cubic" },
    { kind: "d-optimal", runs: 12 },
    { kind: "sensitivity", base: 0 },
    { kind: "given", file: "" },
    { kind: "definitive-screening", runs: 9 },
  ])("refused: %j", (request) => {
    expect(isValid(request)).toBe(false);
  });
});
