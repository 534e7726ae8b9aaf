import { expect, test } from "vitest";
import { syntheticModel } from "../../bench/synthetic/model.ts";
import type { Picks, SelectionModel, Verdict } from "../../src/model/selection.ts";
import { proveAgain } from "../../src/solve/certificate.ts";
import { costOf, isFeasible, violatedRows } from "../../src/solve/cost.ts";
import type { Engine, EngineAnswer } from "../../src/solve/engine.ts";
import { newEngines } from "../../src/solve/engines/engines.ts";
import { solveModel } from "../../src/solve/solve-model.ts";
import { allOptima, at, combinations, judgeByHand, tieWinner } from "./brute-force.ts";
import { randomFrom, randomModel } from "./random-model.ts";

const seconds = (): number => performance.now() / 1000;
const engines = newEngines(seconds);
const unlimited = { engine: "simplex", secondsLeft: () => 600, engines } as const;

const SEEDS = Array.from({ length: 400 }, (_, index) => index + 1);

const textsOf = ({ groups }: SelectionModel, picks: Picks): string[] =>
  groups.map(({ columns }, g) => at(columns, at(picks, g)).tie.text);

test("400 random models: cost and tie-rule winner as by brute force, survivors keep every optimum", async () => {
  let solved = 0;
  let tied = 0;
  for (const seed of SEEDS) {
    const model = randomModel(seed);
    const before = structuredClone(model);
    const optima = allOptima(model);
    const winner = tieWinner(model, optima);
    const outcome = await solveModel(model, unlimited);
    expect(model).toEqual(before);
    expect([seed, outcome.status, outcome.cost]).toEqual([
      seed,
      winner === undefined ? "infeasible" : "optimal",
      winner?.cost,
    ]);
    if (winner === undefined) continue;
    solved += 1;
    tied += optima.length > 1 ? 1 : 0;
    expect([seed, textsOf(model, outcome.picks ?? [])]).toEqual([seed, textsOf(model, winner.picks)]);
    expect(outcome.bound).toBeGreaterThanOrEqual(winner.cost - model.unit);
    expect(outcome.bound).toBeLessThanOrEqual(winner.cost);
    const isKept = optima.every(({ picks }) => picks.every((pick, g) => at(outcome.survivors, g).includes(pick)));
    expect([seed, isKept]).toEqual([seed, true]);
  }
  expect(solved).toBeGreaterThan(250);
  expect(tied).toBeGreaterThan(8);
});

test("own cost and violated rows agree with the hand-written ones on every combination", () => {
  let feasible = 0;
  for (const seed of SEEDS.slice(0, 40)) {
    const model = randomModel(seed);
    for (const picks of combinations(model.groups.map(({ columns }) => columns.length))) {
      const judged = judgeByHand(model, picks);
      expect(costOf(model, picks)).toBe(judged.cost);
      expect([violatedRows(model, picks).length === 0, isFeasible(model, picks)]).toEqual([
        judged.isFeasible,
        judged.isFeasible,
      ]);
      feasible += judged.isFeasible ? 1 : 0;
    }
  }
  expect(feasible).toBeGreaterThan(100);
});

test("both engines as leaf solvers agree on an order of eight axes", async () => {
  const model = syntheticModel(2, { axes: 8, motors: 24, gearboxes: 8, drives: 14, instants: 20, isCapped: true });
  const simplex = await solveModel(model, unlimited);
  const highs = await solveModel(model, { ...unlimited, engine: "highs" });
  expect(simplex.status).toBe("optimal");
  expect(highs.cost).toBe(simplex.cost);
  expect(highs.picks).toEqual(simplex.picks);
});

test("start picks, wrong start picks and warm multipliers change nothing about the answer", async () => {
  const model = syntheticModel(4, { axes: 5, motors: 14, gearboxes: 6, drives: 10, instants: 6, isCapped: false });
  const plain = await solveModel(model, unlimited);
  expect(plain.status).toBe("optimal");
  for (const start of [plain.picks ?? [], model.groups.map(() => 0), [9999], []]) {
    const again = await solveModel(model, { ...unlimited, start, multipliers: plain.multipliers });
    expect([again.cost, again.picks]).toEqual([plain.cost, plain.picks]);
  }
});

test("with a cutoff only strictly cheaper answers count", async () => {
  const model = syntheticModel(4, { axes: 5, motors: 14, gearboxes: 6, drives: 10, instants: 6, isCapped: false });
  const { cost = 0 } = await solveModel(model, unlimited);
  expect((await solveModel(model, { ...unlimited, cutoff: cost })).status).toBe("infeasible");
  const above = await solveModel(model, { ...unlimited, cutoff: cost + 1, ties: false });
  expect([above.status, above.cost, above.tiesSettled]).toEqual(["optimal", cost, false]);
});

test("stopped at once: no claim; stopped on the way: an answer and a bound on either side of the optimum", async () => {
  const model = syntheticModel(2, { axes: 8, motors: 24, gearboxes: 8, drives: 14, instants: 20, isCapped: true });
  expect((await solveModel(model, { ...unlimited, secondsLeft: () => 0 })).status).toBe("unknown");
  const { cost = 0 } = await solveModel(model, unlimited);
  let nodes = 0;
  const stopped = await solveModel(model, {
    ...unlimited,
    progress: (state) => void (nodes = state.nodes),
    aborted: () => nodes >= 2,
  });
  expect(stopped.status).toBe("feasible");
  expect(stopped.bound).toBeLessThanOrEqual(cost);
  expect(stopped.cost).toBeGreaterThanOrEqual(cost);
  expect(stopped.gap).toBeCloseTo((stopped.cost ?? 0) - stopped.bound, 6);
  expect(proveAgain(stopped.model, stopped.certificate).unproved.length).toBeGreaterThan(0);
});

/** A truth outside the model: some combinations do not hold, others cost more than the model says. */
function hiddenTruth(model: SelectionModel, seed: number): (picks: Picks) => number | undefined {
  return (picks) => {
    const random = randomFrom(seed + picks.reduce((sum, pick) => 31 * sum + pick, 7));
    if (random() < 0.3) return undefined;
    return costOf(model, picks) + (random() < 0.5 ? 0 : Math.floor(40 * random()));
  };
}

const hiddenOptimum = (model: SelectionModel, truth: (picks: Picks) => number | undefined): number => {
  let best = Infinity;
  for (const picks of combinations(model.groups.map(({ columns }) => columns.length))) {
    if (judgeByHand(model, picks).isFeasible) best = Math.min(best, truth(picks) ?? Infinity);
  }
  return best;
};

test("a judge that rejects or raises single answers without rows: the optimum of its truth", async () => {
  let solved = 0;
  for (const seed of SEEDS.slice(0, 120)) {
    const model = randomModel(seed);
    const truth = hiddenTruth(model, seed);
    const heard = new Set<string>();
    const judge = (picks: Picks): Verdict => {
      expect(heard.has(picks.join())).toBe(false);
      heard.add(picks.join());
      const cost = truth(picks);
      return { ...(cost === undefined ? {} : { cost }), rows: [], envelopeRows: [] };
    };
    const best = hiddenOptimum(model, truth);
    const outcome = await solveModel(model, { ...unlimited, judge });
    expect([seed, outcome.cost ?? Infinity]).toEqual([seed, best]);
    solved += best < Infinity ? 1 : 0;
  }
  expect(solved).toBeGreaterThan(60);
});

test("rows and envelope rows held back by the judge are added when needed: the optimum of the full model", async () => {
  let added = 0;
  for (const seed of SEEDS.slice(0, 200)) {
    const full = randomModel(seed);
    const bare: SelectionModel = { ...full, rows: [], envelopes: full.envelopes.map((one) => ({ ...one, rows: [] })) };
    const judge = (picks: Picks): Verdict => {
      const broken = new Set(violatedRows(full, picks));
      const rows = full.rows.filter(({ id }) => broken.has(id));
      const envelopeRows = full.envelopes.flatMap((one, envelope) => one.rows.map((row) => ({ envelope, row })));
      return rows.length > 0 ? { rows, envelopeRows: [] } : { cost: costOf(full, picks), rows: [], envelopeRows };
    };
    const outcome = await solveModel(bare, { ...unlimited, judge });
    const winner = tieWinner(full, allOptima(full));
    const texts = (picks: Picks | undefined): string[] => (picks === undefined ? [] : textsOf(full, picks));
    expect([seed, outcome.cost]).toEqual([seed, winner?.cost]);
    expect([seed, texts(outcome.picks)]).toEqual([seed, texts(winner?.picks)]);
    added += outcome.added.rows.length + outcome.added.envelopeRows.length;
  }
  expect(added).toBeGreaterThan(100);
});

test("exact costs that differ from the model by rounding: the cheapest exact cost wins", async () => {
  let differing = 0;
  for (const seed of SEEDS.slice(0, 350)) {
    const model: SelectionModel = { ...randomModel(seed), rounding: 20 };
    const truth = (picks: Picks): number =>
      costOf(model, picks) + 10 * ((picks.reduce((sum, pick) => 3 * sum + pick, 1) % 5) - 2);
    const judge = (picks: Picks): Verdict => ({ cost: truth(picks), rows: [], envelopeRows: [] });
    const outcome = await solveModel(model, { ...unlimited, judge });
    const best = hiddenOptimum(model, truth);
    expect([seed, outcome.cost ?? Infinity]).toEqual([seed, best]);
    differing += best < Infinity && allOptima(model).every(({ picks }) => truth(picks) > best) ? 1 : 0;
  }
  expect(differing).toBeGreaterThan(5);
});

/** An engine that lies in a given way. */
const liar = (name: "simplex" | "highs", lie: (truth: EngineAnswer, count: number) => EngineAnswer): Engine => ({
  name,
  solve: async (model, left) => lie(await engines.highs.solve(model, left), model.variables.length),
});

// Large enough that leaves go to an engine.
const LEAFY = syntheticModel(2, { axes: 10, motors: 30, gearboxes: 8, drives: 14, instants: 20, isCapped: true });

const dead = (name: "simplex" | "highs"): Engine => liar(name, () => ({ status: "stopped" }));

const LIES: readonly { readonly lie: string; readonly simplex: Engine }[] = [
  {
    lie: "an answer that is none (all zero)",
    simplex: liar("simplex", (_, count) => ({ status: "optimal", values: Array.from({ length: count }, () => 0) })),
  },
  { lie: "everything is infeasible", simplex: liar("simplex", () => ({ status: "infeasible" })) },
  { lie: "an optimum without values", simplex: liar("simplex", () => ({ status: "optimal" })) },
  { lie: "nothing, it stops", simplex: liar("simplex", () => ({ status: "stopped" })) },
  {
    lie: "half values",
    simplex: liar("simplex", (_, count) => ({ status: "optimal", values: Array.from({ length: count }, () => 0.6) })),
  },
];

test.each(LIES)("an engine that claims $lie is overruled", async ({ simplex }) => {
  const honest = await solveModel(LEAFY, unlimited);
  const outcome = await solveModel(LEAFY, { ...unlimited, patience: 0, engines: { simplex, highs: engines.highs } });
  expect(outcome.stats.engineCalls).toBeGreaterThan(0);
  expect([outcome.status, outcome.cost, outcome.picks]).toEqual([honest.status, honest.cost, honest.picks]);
});

test("without any working engine the search closes by branching", async () => {
  const honest = await solveModel(LEAFY, unlimited);
  const outcome = await solveModel(LEAFY, {
    ...unlimited,
    patience: 0,
    engines: { simplex: dead("simplex"), highs: dead("highs") },
  });
  expect([outcome.status, outcome.cost, outcome.picks]).toEqual([honest.status, honest.cost, honest.picks]);
  expect(outcome.stats.engineFailures).toBeGreaterThan(0);
});

const outcomeText = async (): Promise<string> =>
  JSON.stringify(await solveModel(LEAFY, { ...unlimited, patience: 0, engines: newEngines(seconds) }));

test("the same model gives the same outcome twice, to the byte, with fresh engines", async () => {
  const first = await outcomeText();
  expect(first).toContain('"status":"optimal"');
  expect(await outcomeText()).toBe(first);
});

test("answers that cost nothing at all: the search ends, and the tie rule takes the least text of each group", async () => {
  const origin = { kind: "test", id: "free" } as const;
  const groups = ["x", "y"].map((id) => ({
    id,
    origin,
    pools: [],
    decideFirst: false,
    columns: ["b", "a"].map((text) => ({ cost: 0, parts: [], tie: { mass: 1, text } })),
  }));
  const free = { groups, parts: [], pools: [], caps: [], rows: [], envelopes: [], unit: 1, rounding: 0 };
  const { status, cost, picks } = await solveModel(free, unlimited);
  expect({ status, cost, picks }).toEqual({ status: "optimal", cost: 0, picks: [1, 1] });
});
