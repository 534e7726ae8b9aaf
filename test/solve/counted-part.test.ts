import { expect, test } from "vitest";
import type { ModelPart } from "../../src/model/selection.ts";
import { type CountedPart, countedPart, solveEven } from "../../src/solve/counted-part.ts";
import { at } from "./brute-force.ts";
import { randomFrom } from "./random-model.ts";

/** A part whose every link comes to the same units. */
function evenPart(charge: Float64Array, evenUnits: number): CountedPart {
  return {
    channels: 1,
    pools: [],
    uses: [],
    unit: 1,
    charge,
    fixed: 0,
    leastPrice: 0,
    isExact: true,
    evenUnits,
    classes: [],
  };
}

/** Least charge minus rewards over all nonempty sets of links whose units are allowed, tried one by one (own oracle). */
function leastByTrial(part: CountedPart, { reward, state, least: fewest, most }: EvenTask): number {
  let least = Number.POSITIVE_INFINITY;
  for (let set = 1; set < 2 ** reward.length; set += 1) {
    const links = [...reward.keys()];
    const taken = links.filter((link) => Math.floor(set / 2 ** link) % 2 === 1);
    const isAllowed = links.every((link) => state[link] === 1 || taken.includes(link) === (state[link] === 2));
    const units = taken.length * part.evenUnits;
    if (isAllowed && units >= fewest && units <= most) least = Math.min(least, valueOf(part, reward, taken));
  }
  return least;
}

type EvenTask = Parameters<typeof solveEven>[1];

function valueOf({ charge, evenUnits }: CountedPart, reward: Float64Array, taken: readonly number[]): number {
  return at([...charge], taken.length * evenUnits) - taken.reduce((sum, link) => sum + (reward[link] ?? 0), 0);
}

test("the least of a part with even links is that of all sets of links, and is reached by the links chosen", () => {
  let reached = 0;
  for (let seed = 1; seed <= 400; seed += 1) {
    const random = randomFrom(seed);
    const count = 1 + Math.floor(random() * 7);
    const evenUnits = 1 + Math.floor(random() * 3);
    const charge = Float64Array.from({ length: count * evenUnits + 1 }, () => Math.floor(random() * 100));
    const reward = Float64Array.from({ length: count }, () => Math.floor(random() * 60));
    const state = Uint8Array.from({ length: count }, () => Math.floor(random() * 3));
    const part = evenPart(charge, evenUnits);
    const chosen = new Uint8Array(count).fill(1);
    const most = random() < 0.5 ? count * evenUnits : Math.floor(random() * count * evenUnits);
    const task = { reward, state, least: random() < 0.5 ? 0 : Math.floor(random() * count * evenUnits), most };
    const value = solveEven(part, task, chosen);
    expect([seed, value]).toEqual([seed, leastByTrial(part, task)]);
    if (value === Number.POSITIVE_INFINITY) continue;
    const taken = [...reward.keys()].filter((link) => chosen[link] === 1);
    expect([seed, valueOf(part, reward, taken)]).toEqual([seed, value]);
    expect(taken.every((link) => state[link] !== 0)).toBe(true);
    expect(state.every((one, link) => one !== 2 || chosen[link] === 1)).toBe(true);
    reached += 1;
  }
  expect(reached).toBeGreaterThan(200);
});

test("counts of a part: charge by units over their common divisor, least price, even units (by hand)", () => {
  const origin = { kind: "test", id: "by hand" } as const;
  const steps = [
    { from: 1, price: 9 },
    { from: 5, price: 7 },
  ];
  const part: ModelPart = { id: "p", origin, channels: 1, fixed: 4, steps, isPartNumber: true };
  const pools = [2, 4].map((quantity, index) => ({ id: `pool ${index}`, quantity }));
  const counted = (used: readonly (readonly number[])[]): CountedPart => {
    const groups = used.map((own, g) => ({ id: `g${g}`, origin, pools: own, columns: [], decideFirst: false }));
    const model = { groups, pools, parts: [part], caps: [], rows: [], envelopes: [], unit: 1, rounding: 0 };
    const links = Int32Array.from(used.keys());
    return countedPart(model, part, links, links);
  };
  // Two machines: units come in twos. 4 + 2 × 9, 4 + 4 × 9, and from five units on 7 each: 4 + 6 × 7.
  const same = counted([[0], [0], [0]]);
  expect(same).toMatchObject({ isExact: true, evenUnits: 1, leastPrice: 14, fixed: 4 });
  expect([...same.charge]).toEqual([0, 22, 40, 46]);
  expect(counted([[0], [1]]).evenUnits).toBe(0);
});
