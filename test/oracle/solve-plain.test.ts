import { expect, test } from "vitest";
import { orderOracle } from "../../src/verify/evaluate-machine.ts";
import { bruteForce } from "./brute-force.ts";
import { plainOrder } from "./plain-input.ts";
import { randomMachine } from "./random-machine.ts";
import { solvePlain } from "./solve-plain.ts";

test("the plain model finds the cost that trying everything finds, on 50 random orders", async () => {
  const costs: { seed: number; tried: number | null; modelled: number | null }[] = [];
  for (let seed = 1; seed <= 50; seed++) {
    const { problem, catalogue } = randomMachine(seed);
    const tried = bruteForce(problem, catalogue).best?.verdict.total ?? null;
    const { input, judge } = plainOrder(problem, catalogue, orderOracle(problem, catalogue));
    costs.push({ seed, tried, modelled: (await solvePlain(input, judge))?.cost ?? null });
  }
  expect(costs.filter(({ tried, modelled }) => tried !== modelled)).toEqual([]);
  expect(costs.filter(({ tried }) => tried !== null).length).toBeGreaterThan(25);
});

test("the plain model notices dearer drives", async () => {
  const seed = Array.from({ length: 20 }, (_, k) => k + 1).find((k) => {
    const { problem, catalogue } = randomMachine(k);
    return bruteForce(problem, catalogue).best !== null;
  });
  expect(seed).toBeDefined();
  const { problem, catalogue } = randomMachine(seed ?? 0);
  const cost = async (factor: number): Promise<number> => {
    const drives = catalogue.drives.map((drive) => ({
      ...drive,
      prices: drive.prices.map(({ from, price }) => ({ from, price: price * factor })),
    }));
    const offered = { ...catalogue, drives };
    const { input, judge } = plainOrder(problem, offered, orderOracle(problem, offered));
    return (await solvePlain(input, judge))?.cost ?? Number.NaN;
  };
  expect(await cost(3)).toBeGreaterThan(await cost(1));
});
