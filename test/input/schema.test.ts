import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { FEEDBACKS } from "../../src/input/part-choices.ts";
import { LIMIT_IDS } from "../../src/machine/limit.ts";
import { LAW_NAMES } from "../../src/machine/problem.ts";
import { QUANTITIES } from "../../src/units/quantity.ts";

type Schema = Record<string, unknown>;
const read = (name: string): Schema =>
  JSON.parse(readFileSync(new URL(`../../shared/schemas/${name}.schema.json`, import.meta.url), "utf8"));
const problem = read("problem");

/** Every schema object inside a schema, with the key it stands under. */
function* walk(schema: unknown, key = ""): Generator<readonly [string, Schema]> {
  if (typeof schema !== "object" || schema === null) return;
  if (!Array.isArray(schema)) yield [key, schema as Schema];
  for (const [name, part] of Object.entries(schema)) yield* walk(part, name);
}

test.each(["problem", "catalog"])("the %s schema lets no key pass unnamed and describes every key", (name) => {
  const objects = [...walk(read(name))];
  const closed = objects.filter(
    ([, schema]) => "properties" in schema && !("if" in schema) && schema["additionalProperties"] !== undefined,
  );
  expect(closed.length).toBeGreaterThan(1);
  for (const [key, schema] of objects) {
    if (key === "if" || typeof schema["properties"] !== "object" || key === "properties") continue;
    if (
      schema["properties"] !== null &&
      "kind" in schema["properties"] &&
      Object.keys(schema["properties"]).length === 1
    )
      continue;
    expect(schema["additionalProperties"], key).toBe(false);
    for (const [property, described] of Object.entries(schema["properties"] as Record<string, Schema>)) {
      const isReference = "$ref" in described || "const" in described;
      expect(isReference || typeof described["description"] === "string", `${key}.${property}`).toBe(true);
    }
  }
});

test("every quantity the schema names is one the reader knows", () => {
  const named = [...walk(problem)].flatMap(([, { quantity }]) =>
    typeof quantity === "string" || Array.isArray(quantity) ? [quantity].flat() : [],
  );
  expect(named.length).toBeGreaterThan(50);
  expect(named.filter((name) => typeof name !== "string" || !(name in QUANTITIES))).toEqual([]);
});

test("closed lists of the schema are those of the program", () => {
  const enums = [...walk(problem)].flatMap(([, schema]) => (Array.isArray(schema["enum"]) ? [schema["enum"]] : []));
  expect(enums).toContainEqual(LAW_NAMES);
  expect(enums).toContainEqual(FEEDBACKS);
  const axisLimits = LIMIT_IDS.filter((id) => /^(motor|gearbox|drive|inductor|axis)\./.test(id));
  expect(enums.filter((list) => list.includes("motor.speed")).map((list) => list.toSorted())).toEqual([
    axisLimits.toSorted(),
  ]);
});
