import { expect, test } from "vitest";
import { useful } from "../../src/frontier/covering.ts";
import { apartDemands, type Demand } from "../../src/frontier/demands.ts";
import { Dice } from "../oracle/random.ts";

const THINGS = ["a", "b", "c", "d", "e", "f"] as const;

function randomDemands(dice: Dice): Demand[] {
  return Array.from({ length: dice.whole(1, 5) }, (_, n) => {
    const choices = new Set(THINGS.filter(() => dice.chance(0.35)));
    if (choices.size === 0) choices.add(dice.of(THINGS));
    return { what: `thing ${n}`, place: `place ${n}`, choices };
  }).toSorted((one, other) => one.choices.size - other.choices.size);
}

/** Every set of things, by trying them. */
const SETS = Array.from({ length: 2 ** THINGS.length }, (_, bits) => THINGS.filter((_thing, k) => (bits >> k) & 1));

function meeting(demands: readonly Demand[], cap: number): string[][] {
  return SETS.filter((set) => set.length <= cap && demands.every(({ choices }) => set.some((one) => choices.has(one))));
}

test("what is useful under a cap, and whether there is room for others, are those of all sets tried one by one", () => {
  const dice = new Dice(41);
  let impossible = 0;
  for (let trial = 0; trial < 300; trial++) {
    const demands = randomDemands(dice);
    const cap = dice.whole(0, 4);
    const sets = meeting(demands, cap);
    const demanded = new Set(demands.flatMap(({ choices }) => [...choices]));
    const among = new Set(sets.flat().filter((thing) => demanded.has(thing)));
    const found = useful(demands, cap);
    expect([...(found?.among ?? [])].toSorted()).toEqual([...among].toSorted());
    expect(found?.others).toBe(sets.some((set) => set.length < cap));
    impossible += sets.length === 0 ? 1 : 0;
  }
  expect(impossible).toBeGreaterThan(30);
  expect(impossible).toBeLessThan(270);
});

test("demands that no two things can share are never more than the smallest set that meets all", () => {
  const dice = new Dice(43);
  let reached = 0;
  for (let trial = 0; trial < 300; trial++) {
    const demands = randomDemands(dice);
    const least = Math.min(...meeting(demands, THINGS.length).map(({ length }) => length));
    const apart = apartDemands(demands).length;
    expect(apart).toBeLessThanOrEqual(least);
    reached += apart === least ? 1 : 0;
  }
  expect(reached).toBeGreaterThan(150);
});

test("too many sets to go through are left open, not guessed", () => {
  const demands = Array.from({ length: 12 }, (_, n) => {
    const choices = new Set(Array.from({ length: 40 }, (_thing, k) => `${n} ${k}`));
    return { what: `thing ${n}`, place: `place ${n}`, choices };
  });
  expect(useful(demands, 11)).toBeUndefined();
});
