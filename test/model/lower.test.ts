import library from "highs";
import { expect, test } from "vitest";
import { lower, picksOf } from "../../src/model/lower.ts";
import { lpText } from "../../src/model/lp-text.ts";
import { newEngines } from "../../src/solve/engines/engines.ts";
import { allOptima, at, combinations, judgeByHand } from "../solve/brute-force.ts";
import { randomModel } from "../solve/random-model.ts";

const engines = newEngines(() => performance.now() / 1000);
const SEEDS = Array.from({ length: 120 }, (_, index) => index + 1);

test("the lowered model has the brute-force optimum in both engines (HiGHS, javascript-lp-solver)", async () => {
  let solved = 0;
  for (const seed of SEEDS) {
    const model = randomModel(seed);
    const best = allOptima(model)[0];
    const linear = lower(model);
    for (const name of ["highs", "simplex"] as const) {
      const { status, values = [] } = await engines[name].solve(linear, 30);
      expect([seed, name, status]).toEqual([seed, name, best === undefined ? "infeasible" : "optimal"]);
      if (best === undefined) continue;
      const cost = linear.variables.reduce((sum, variable, index) => sum + variable.cost * at(values, index), 0);
      expect([seed, name, Math.abs(cost - best.cost) < 1e-5]).toEqual([seed, name, true]);
      expect(judgeByHand(model, picksOf(model, values) ?? []).cost).toBeCloseTo(best.cost, 6);
      solved += 1;
    }
  }
  expect(solved).toBeGreaterThan(120);
});

test("each combination alone: feasible and as dear in the lowered model as by hand", async () => {
  let feasible = 0;
  let infeasible = 0;
  for (const seed of SEEDS.slice(0, 4)) {
    const model = randomModel(seed);
    const linear = lower(model);
    const offsets = model.groups.map((_, g) =>
      model.groups.slice(0, g).reduce((sum, { columns }) => sum + columns.length, 0),
    );
    for (const picks of [...combinations(model.groups.map(({ columns }) => columns.length))].filter(
      (_, index) => index % 7 === 0,
    )) {
      const fixed = new Set(picks.map((pick, g) => at(offsets, g) + pick));
      const variables = linear.variables.map((variable, index) =>
        fixed.has(index) ? { ...variable, lower: 1 } : variable,
      );
      const { status, values = [] } = await engines.highs.solve({ ...linear, variables }, 30);
      const judged = judgeByHand(model, picks);
      expect([seed, picks, status]).toEqual([seed, picks, judged.isFeasible ? "optimal" : "infeasible"]);
      const cost = variables.reduce((sum, variable, index) => sum + variable.cost * (values[index] ?? 0), 0);
      expect(judged.isFeasible ? cost : judged.cost).toBeCloseTo(judged.cost, 5);
      if (judged.isFeasible) feasible += 1;
      else infeasible += 1;
    }
  }
  expect(feasible).toBeGreaterThan(3);
  expect(infeasible).toBeGreaterThan(3);
});

test("names are a letter with indices and unique; every row and variable has an origin", () => {
  for (const seed of SEEDS.slice(0, 20)) {
    const { variables, rows } = lower(randomModel(seed));
    const names = [...variables, ...rows].map(({ name }) => name);
    expect(new Set(names).size).toBe(names.length);
    expect(names.filter((name) => !/^[a-z]+\d+(_\d+)?$/u.test(name))).toEqual([]);
    expect([...variables, ...rows].every(({ origin }) => origin.kind === "test")).toBe(true);
  }
});

test("HiGHS reads the LP text and finds the optimum it finds through its sparse interface", async () => {
  const load: unknown = library;
  expect(typeof load).toBe("function");
  const highs = await (load as typeof library.default)();
  let compared = 0;
  for (const seed of SEEDS.slice(0, 40)) {
    const linear = lower(randomModel(seed));
    const sparse = await engines.highs.solve(linear, 30);
    const read = highs.solve(lpText(linear), { mip_rel_gap: 0 });
    expect([seed, read.Status]).toEqual([seed, sparse.status === "optimal" ? "Optimal" : "Infeasible"]);
    if (sparse.values === undefined) continue;
    const cost = linear.variables.reduce(
      (sum, variable, index) => sum + variable.cost * at(sparse.values ?? [], index),
      0,
    );
    expect(read.ObjectiveValue).toBeCloseTo(cost, 4);
    compared += 1;
  }
  expect(compared).toBeGreaterThan(20);
});

test("the LP text says above each row why it exists, in lines a reader takes", () => {
  const text = lpText(lower(randomModel(1)));
  const lines = text.split("\n");
  expect(lines).toContain("\\ pick0: test random");
  expect(lines.filter((line) => line.length > 255)).toEqual([]);
  expect(lines.slice(-2)).toEqual(["End", ""]);
});
