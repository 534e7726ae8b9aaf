import { describe, expect, test } from "vitest";
import { GEARBOX_RELATIONS } from "./gearbox-relations.ts";
import { MOTOR_RELATIONS } from "./motor-relations.ts";
import { POWER_RELATIONS } from "./power-relations.ts";
import { COMMON, nameOf, type Relation, row, spoilt } from "./relation.ts";
import { allParts, KINDS } from "./sheets.ts";

const PARTS = await allParts();

/** Statements that hold for every kind. */
const PRICE_RELATIONS: readonly Relation[] = KINDS.flatMap((kind) => [
  row(kind, {
    title: "a step from 10 units costs 3 to 7 % less than one",
    source: COMMON,
    uses: ["price", "price_10"],
    holds: (value) => value("price_10") / value("price") > 0.93 && value("price_10") / value("price") < 0.975,
    spoil: ["price_10", 1.1],
  }),
  row(kind, {
    title: "a step from 50 units costs 7 to 14 % less than one",
    source: COMMON,
    uses: ["price", "price_50"],
    holds: (value) => value("price_50") / value("price") > 0.86 && value("price_50") / value("price") < 0.93,
    spoil: ["price_50", 1.1],
  }),
  row(kind, {
    title: "lead time is 5 to 45 days",
    source: COMMON,
    uses: ["lead_time"],
    holds: (value) => value("lead_time") >= 5 && value("lead_time") <= 45,
    spoil: ["lead_time", 100],
  }),
]);

const RELATIONS = [...MOTOR_RELATIONS, ...GEARBOX_RELATIONS, ...POWER_RELATIONS, ...PRICE_RELATIONS];

describe("every row keeps the relation", () => {
  test.each(RELATIONS)("$kind: $title ($source)", ({ applies, offenders }) => {
    expect(PARTS.filter(applies).length).toBeGreaterThan(1);
    expect(offenders(PARTS)).toEqual([]);
  });
});

describe("a doctored row is caught", () => {
  test.each(RELATIONS)("$kind: $title", ({ applies, offenders, spoil }) => {
    const [column, change] = spoil;
    const victims = PARTS.filter(
      (part) => applies(part) && (typeof change === "string" || part.numbers[column] !== undefined),
    );
    const caught = victims.filter((victim) => {
      const found = offenders(PARTS.map((part) => (part === victim ? spoilt(part, spoil) : part)));
      return found.some((offender) => offender.includes(nameOf(victim)));
    });
    expect(caught.length).toBeGreaterThan(0);
  });
});
