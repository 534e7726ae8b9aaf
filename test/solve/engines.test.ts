import library, { type Highs } from "highs";
import solver from "javascript-lp-solver";
import { describe, expect, test } from "vitest";
import type { LinearModel, LinearRow, LinearVariable } from "../../src/model/linear.ts";
import type { Engine } from "../../src/solve/engine.ts";
import { highsEngine } from "../../src/solve/engines/highs.ts";
import { brokenRows, linearCost, repaired } from "../../src/solve/engines/repair.ts";
import { simplexEngine } from "../../src/solve/engines/simplex.ts";
import { at } from "./brute-force.ts";
import { readMps } from "./read-mps.ts";

const seconds = (): number => performance.now() / 1000;

const variable = (name: string, cost: number, upper = 1, isInteger = true): LinearVariable => ({
  name,
  origin: { kind: "test", id: name },
  cost,
  lower: 0,
  upper,
  isInteger,
});

const row = (name: string, factors: readonly number[], lower: number, upper: number): LinearRow => ({
  name,
  origin: { kind: "test", id: name },
  variables: factors.map((_, index) => index),
  factors,
  lower,
  upper,
});

// Optima: MIPLIB 3 catalogue; afiro: netlib lp. See shared/reference/mps/SOURCE.md.
const PUBLISHED = [
  { name: "egout", best: 568.101, digits: 2 },
  { name: "flugpl", best: 1_201_500, digits: 2 },
  { name: "p0033", best: 3089, digits: 4 },
  { name: "stein27", best: 18, digits: 4 },
  { name: "lseu", best: 1120, digits: 4 },
  { name: "afiro", best: -464.75314, digits: 4 },
] as const;

/** The rows of a model broken by values, recomputed without the project's code. */
function broken({ rows }: LinearModel, values: readonly number[]): string[] {
  return rows.flatMap(({ name, variables, factors, lower, upper }) => {
    const sum = variables.reduce((total, index, term) => total + at(factors, term) * at(values, index), 0);
    const room = 1e-6 * Math.max(1, Math.abs(sum));
    return sum < lower - room || sum > upper + room ? [name] : [];
  });
}

const costOf = ({ variables }: LinearModel, values: readonly number[]): number =>
  variables.reduce((sum, one, index) => sum + one.cost * at(values, index), 0);

/** What every engine must do. `reach` names the instances it closes; on the others it must not claim anything false. */
function engineContract(engine: Engine, reach: readonly string[]): void {
  describe(`engine ${engine.name}`, () => {
    test.each(PUBLISHED.filter(({ name }) => reach.includes(name)))(
      "$name: the published optimum $best",
      async ({ name, best, digits }) => {
        const model = readMps(name);
        const before = structuredClone(model);
        const { status, values = [] } = await engine.solve(model, 60);
        expect(model).toEqual(before);
        expect(status).toBe("optimal");
        expect(broken(model, values)).toEqual([]);
        expect(costOf(model, values)).toBeCloseTo(best, digits);
      },
    );

    test.each(PUBLISHED.filter(({ name }) => !reach.includes(name)))(
      "$name in a second: no claim, although the engine has a first answer by then",
      async ({ name }) => {
        expect(await engine.solve(readMps(name), 1)).toEqual({ status: "stopped" });
      },
    );

    test("galenet (netlib lp/infeas) has no answer", async () => {
      expect(await engine.solve(readMps("galenet"), 20)).toEqual({ status: "infeasible" });
    });

    test("variables named like fields of an engine's result stay variables", async () => {
      const variables = ["result", "feasible", "bounded", "isIntegral"].map((name, index) => variable(name, 3 + index));
      const model = { variables, rows: [row("some", [1, 1, 1, 1], 2, 2)] };
      const answer = await engine.solve(model, 10);
      expect(answer).toEqual({ status: "optimal", values: [1, 1, 0, 0] });
    });

    test("costs and rows of very different size are solved alike", async () => {
      const variables = [variable("a", 3e8), variable("b", 2e8), variable("c", 1)];
      const model = {
        variables,
        rows: [row("heavy", [4e6, 3e6, 0], 5e6, Infinity), row("light", [0, 1e-4, 1e-4], 2e-4, Infinity)],
      };
      expect((await engine.solve(model, 10)).values).toEqual([1, 1, 1]);
    });

    test("no time left is no claim", async () => {
      const answer = await engine.solve(readMps("lseu"), 0);
      expect(answer.values).toBeUndefined();
      expect(answer.status).toBe("stopped");
    });
  });
}

engineContract(simplexEngine(seconds, 1e9), ["p0033", "flugpl", "afiro"]);
engineContract(
  highsEngine(),
  PUBLISHED.map(({ name }) => name),
);

describe("defects of javascript-lp-solver that the adapter guards against", () => {
  test("a solve that pivots too long is stopped, and the library is left as it was", async () => {
    const before = Reflect.get(Reflect.get(Reflect.get(solver, "Tableau"), "prototype"), "pivot");
    const answer = await simplexEngine(seconds, 5).solve(readMps("stein27"), 60);
    expect(answer).toEqual({ status: "stopped" });
    expect(Reflect.get(Reflect.get(Reflect.get(solver, "Tableau"), "prototype"), "pivot")).toBe(before);
  });

  test("the clock is looked at inside pivoting, not between nodes only", async () => {
    let ticks = 0;
    const clock = (): number => (ticks += 1);
    const answer = await simplexEngine(clock, 1e9).solve(readMps("stein27"), 3);
    expect(answer).toEqual({ status: "stopped" });
    expect(ticks).toBeLessThan(10);
  });

  test("an unbounded model is no claim", async () => {
    const model = { variables: [variable("a", -1, Infinity, false)], rows: [row("low", [1], 0, Infinity)] };
    expect((await simplexEngine(seconds).solve(model, 5)).status).toBe("stopped");
  });
});

describe("defects of HiGHS that the adapter guards against", () => {
  const model = { variables: [variable("a", 1)], rows: [row("some", [1], 1, 1)] };

  test("infeasible by presolve is asked again without it (HiGHS issues 2388, 2432, 3090)", async () => {
    const real = await loadRuntime();
    const presolves: unknown[] = [];
    const { infeasible, optimal } = real.constants.modelStatus;
    const loaded = {
      options: { set: (options: { presolve: string }) => presolves.push(options.presolve) },
      run: () => undefined,
      getModelStatus: () => (presolves.at(-1) === "on" ? infeasible : optimal),
      getSolution: () => ({ colValue: [1] }),
    };
    const withModel = (_: unknown, operation: (one: unknown) => unknown): unknown => operation(loaded);
    const fake = { constants: real.constants, withModel } as unknown as Highs;
    const answer = await highsEngine(async () => fake).solve(model, 10);
    expect(answer).toEqual({ status: "optimal", values: [1] });
    expect(presolves).toEqual(["on", "off"]);
  });

  test("what the clock has ended is not begun again: the deadline holds", async () => {
    const real = await loadRuntime();
    let runs = 0;
    const loaded = {
      options: { set: () => undefined },
      run: () => void (runs += 1),
      getModelStatus: () => real.constants.modelStatus.timeLimit,
    };
    const withModel = (_: unknown, operation: (one: unknown) => unknown): unknown => operation(loaded);
    const fake = { constants: real.constants, withModel } as unknown as Highs;
    expect(await highsEngine(async () => fake).solve(model, 10)).toEqual({ status: "stopped" });
    expect(runs).toBe(1);
  });

  test("a fault in WebAssembly is no claim, and the next attempt gets a fresh instance", async () => {
    let loads = 0;
    const real = await loadRuntime();
    const spoilt = {
      constants: real.constants,
      withModel: () => {
        throw new Error("memory access out of bounds");
      },
    } as unknown as Highs;
    const engine = highsEngine(async () => {
      loads += 1;
      return loads <= 2 ? spoilt : loadRuntime();
    });
    expect(await engine.solve(model, 10)).toEqual({ status: "stopped" });
    expect(await engine.solve(model, 10)).toEqual({ status: "optimal", values: [1] });
    expect(loads).toBe(3);
  });
});

async function loadRuntime(): Promise<Highs> {
  const load: unknown = library;
  return (load as typeof library.default)();
}

describe("repair", () => {
  const model = { variables: [variable("a", 1), variable("b", 1, 5, false)], rows: [row("sum", [1, 1], 2, 3)] };

  test("near-whole values are made whole", () => {
    expect(repaired(model, [0.999_999_9, 1.5])).toEqual([1, 1.5]);
  });

  test("fractional values, broken bounds and broken rows are refused", () => {
    expect(repaired(model, [0.5, 1.5])).toBeUndefined();
    expect(repaired(model, [1, 6])).toBeUndefined();
    expect(repaired(model, [0, 1])).toBeUndefined();
    expect(repaired(model, [Number.NaN, 1])).toBeUndefined();
  });

  test("broken rows are named and cost is summed", () => {
    expect(brokenRows(model, [0, 1])).toEqual(["sum"]);
    expect(brokenRows(model, [1, 1])).toEqual([]);
    expect(linearCost(model, [1, 1.5])).toBe(2.5);
  });
});
