import { describe, expect, test } from "vitest";
import { syntheticModel } from "../../bench/synthetic/model.ts";
import { InternalFault } from "../../src/faults/fault.ts";
import type { LinearModel } from "../../src/model/linear.ts";
import { ask } from "../../src/solve/ask.ts";
import { proveAgain } from "../../src/solve/certificate.ts";
import type { Engine, EngineAnswer, EngineName } from "../../src/solve/engine.ts";
import { type Engines, newEngines } from "../../src/solve/engines/engines.ts";
import type { Outcome, SolveOptions } from "../../src/solve/outcome.ts";
import { solveModel } from "../../src/solve/solve-model.ts";

const honest = newEngines(() => performance.now() / 1000);

// Without patience every leaf with something to decide goes to an engine.
const LEAFY = syntheticModel(2, { axes: 10, motors: 30, gearboxes: 8, drives: 14, instants: 20, isCapped: true });

/** What a liar says in place of the truth; it may ask an honest engine anything. */
type Lie = (model: LinearModel, seconds: number) => Promise<EngineAnswer>;

const truth: Lie = (model, seconds) => honest.highs.solve(model, seconds);

/** The dearest answer that keeps every row: feasible, but as far from the optimum as can be. */
const dearest: Lie = async (model, seconds) => {
  const variables = model.variables.map((variable) => ({ ...variable, cost: variable.isInteger ? -variable.cost : 0 }));
  const { values } = await truth({ variables, rows: model.rows }, seconds);
  return values === undefined ? { status: "stopped" } : { status: "optimal", values };
};

const altered =
  (change: (values: readonly number[], model: LinearModel) => readonly number[]): Lie =>
  async (model, seconds) => {
    const { values } = await truth(model, seconds);
    return values === undefined ? { status: "stopped" } : { status: "optimal", values: change(values, model) };
  };

/** The cheapest column of every group, whatever the rows say. */
const greedy: Lie = async ({ variables, rows }) => {
  const values = variables.map(() => 0);
  for (const row of rows.filter(({ name }) => name.startsWith("pick"))) {
    const costs = row.variables.map((at) => variables[at]?.cost ?? Infinity);
    values[row.variables[costs.indexOf(Math.min(...costs))] ?? 0] = 1;
  }
  return { status: "optimal", values };
};

/** Without the rows that are shared: cheaper than anything that keeps them, and broken by as little as it takes. */
const bitBeyond: Lie = (model, seconds) =>
  truth(
    {
      ...model,
      rows: model.rows.map((row) => (row.name.startsWith("r") ? { ...row, upper: row.upper * 1.02 + 1e-3 } : row)),
    },
    seconds,
  );

/** Lies that are found out whichever engine tells them. */
const FOUND_OUT: Readonly<Record<string, Lie>> = {
  "an answer that breaks rows": greedy,
  "an answer that breaks a row by a little": bitBeyond,
  fractions: altered((values) => values.map((value) => 0.7 * value)),
  "too few values": altered((values) => values.slice(0, 5)),
  "no values at all": altered(() => []),
  "values beyond the last variable": altered((values) => [...values.map(() => 0), ...values]),
  "not numbers": altered((values) => values.map(() => Number.NaN)),
  "infinite numbers": altered((values) => values.map(() => Infinity)),
  "two columns of every group": altered((values, { variables }) =>
    values.map((value, at) => (variables[at]?.isInteger ? 1 : value)),
  ),
  "an optimum without values": async () => ({ status: "optimal" }),
  "stopped, every time": async () => ({ status: "stopped" }),
  "stopped, with values that are none": async (model) => ({ status: "stopped", values: model.variables.map(() => 1) }),
};

const throwing: Lie = async () => {
  throw new TypeError("cannot read properties of undefined");
};

/** An engine that throws before it returns a promise. */
const broken = (error: Error): Engine => ({
  name: "highs",
  solve: () => {
    throw error;
  },
});

const lying = (name: EngineName, solve: Lie): Engine => ({ name, solve });

const enginesWith = (simplex: Lie | undefined, highs: Lie | undefined): Engines => ({
  simplex: simplex === undefined ? honest.simplex : lying("simplex", simplex),
  highs: highs === undefined ? honest.highs : lying("highs", highs),
});

function solved(engines: Engines, more: Partial<SolveOptions> = {}): Promise<Outcome> {
  return solveModel(LEAFY, { engine: "simplex", patience: 0, secondsLeft: () => 600, ties: false, engines, ...more });
}

const expected = await solved(honest);

test("the case is one in which engines are asked", () => {
  expect(expected.status).toBe("optimal");
  expect(expected.stats.engineCalls).toBeGreaterThan(0);
  expect(proveAgain(expected.model, expected.certificate)).toMatchObject({ unproved: [], missed: [] });
});

describe.each(Object.entries(FOUND_OUT))("an engine that says %s", (_name, lie) => {
  test.each([
    { liar: "the embedded engine", engines: enginesWith(lie, undefined), engine: "simplex" },
    { liar: "HiGHS", engines: enginesWith(undefined, lie), engine: "highs" },
  ] as const)("is found out: $liar", async ({ engines, engine }) => {
    const outcome = await solved(engines, { engine });
    expect(outcome.stats.engineCalls).toBeGreaterThan(0);
    expect([outcome.status, outcome.cost]).toEqual(["optimal", expected.cost]);
    expect(proveAgain(outcome.model, outcome.certificate)).toMatchObject({ unproved: [], missed: [] });
  });
});

test("the embedded engine's claim that a leaf is empty is not believed", async () => {
  const outcome = await solved(enginesWith(async () => ({ status: "infeasible" }), undefined));
  expect([outcome.status, outcome.cost]).toEqual(["optimal", expected.cost]);
});

test("no engine that works, both throwing: the search closes by branching", async () => {
  const outcome = await solved(enginesWith(throwing, throwing));
  expect([outcome.status, outcome.cost]).toEqual(["optimal", expected.cost]);
  expect(outcome.stats.engineFailures).toBe(outcome.stats.engineCalls);
  expect(outcome.stats.engineFailures).toBeGreaterThan(0);
});

test("an engine that throws before it returns a promise is an engine without a claim; our own faults go on", async () => {
  const model = { variables: [], rows: [] };
  expect(await ask(broken(new RangeError("out of memory")), model, 1)).toEqual({ status: "stopped" });
  await expect(ask(broken(new InternalFault("ours")), model, 1)).rejects.toThrow("ours");
});

test("an engine that never comes back: the search ends with what it has, and does not call it proved", async () => {
  let calls = 0;
  const hanging: Lie = () => {
    calls += 1;
    return new Promise(() => undefined);
  };
  // The clock starts with the first call, so that a slow machine gets as far.
  let until = Infinity;
  const secondsLeft = (): number => {
    if (calls > 0 && until === Infinity) until = performance.now() + 500;
    return calls > 0 ? (until - performance.now()) / 1000 : 0.9;
  };
  const outcome = await solved(enginesWith(hanging, hanging), { secondsLeft });
  expect(calls).toBeGreaterThan(0);
  expect(outcome.stats.engineFailures).toBeGreaterThan(0);
  expect(["feasible", "unknown"]).toContain(outcome.status);
  expect(outcome.cost ?? Infinity).toBeGreaterThanOrEqual(expected.cost ?? 0);
  expect(outcome.bound).toBeLessThanOrEqual(expected.cost ?? 0);
});

/**
 * What is believed: that the optimum of an engine is one, where its picks keep every row and cost what it says. Nothing
 * cheap refutes it. But the certificate names the leaves closed so, and `proveAgain` goes through each of them.
 */
test("a dearer answer called optimal by both engines is an answer as good as it is, and the second proof sees through it", async () => {
  const outcome = await solved(enginesWith(dearest, dearest));
  expect(outcome.stats.engineCalls).toBeGreaterThan(0);
  expect(outcome.cost ?? 0).toBeGreaterThanOrEqual(expected.cost ?? 0);
  const { unproved, missed } = proveAgain(outcome.model, outcome.certificate);
  const isTrue = outcome.cost === expected.cost;
  expect(unproved.length + missed.length > 0).toBe(!isTrue);
});

test("the second proof finds the optimum that a leaf closed by an engine was said not to hold", () => {
  const { model, certificate, cost = 0 } = expected;
  expect(certificate.branches.some(({ closedBy }) => closedBy === "engine")).toBe(true);
  // The claim of a lying engine: nothing at the optimum's cost, and nothing of that cost was ever judged.
  const judged = certificate.judged.filter((one) => one.cost !== cost);
  const { unproved, missed } = proveAgain(model, { ...certificate, limit: cost + 1, judged });
  expect(unproved.length + missed.length).toBeGreaterThan(0);
});
