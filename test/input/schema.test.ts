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

/** Every schema object inside a schema, with the key it stands under; conditions aside. */
function* walk(schema: unknown, key = ""): Generator<readonly [string, Schema]> {
  if (typeof schema !== "object" || schema === null) return;
  if (!Array.isArray(schema)) yield [key, schema as Schema];
  for (const [name, part] of Object.entries(schema)) if (name !== "if") yield* walk(part, name);
}

test.each(["problem", "catalog"])("the %s schema lets no key pass unnamed and describes every key", (name) => {
  const objects = [...walk(read(name))].filter(([key, schema]) => key !== "properties" && "properties" in schema);
  expect(objects.length).toBeGreaterThan(1);
  for (const [key, { additionalProperties, properties }] of objects) {
    expect([key, additionalProperties]).toEqual([key, false]);
    for (const [property, described] of Object.entries(properties as Record<string, Schema>)) {
      const isSaid = "$ref" in described || "const" in described || typeof described["description"] === "string";
      expect([key, property, isSaid]).toEqual([key, property, true]);
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
  const relaxable = enums.filter((list) => list.includes("motor.speed")).map((list) => new Set(list));
  expect(relaxable).toEqual([new Set(axisLimits)]);
});
