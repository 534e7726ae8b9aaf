import { expect, test } from "vitest";
import { type CountCaps, fewestOf, type Point } from "../../src/frontier/point.ts";
import { varietyFree } from "../../src/frontier/variety-free.ts";
import { FRONTIER_KINDS, type FrontierKind } from "../../src/machine/frontier.ts";
import { orderOracle } from "../../src/verify/evaluate-machine.ts";
import { type Agreement, agreementOf } from "../oracle/agreement.ts";
import { bruteForce } from "../oracle/brute-force.ts";
import { decided, pickedBy } from "../oracle/decided.ts";
import { type RandomMachine, randomMachine } from "../oracle/random-machine.ts";
import { pointAt, sweepOf } from "./swept.ts";

/** Random orders with few combinations; every other one is swept as without charges for variety. */
const SEEDS = [2000, 2001, 2002, 2003, 2004, 2006];
const PAIR_SEEDS = [2000, 2018, 2023];

function drawn(seed: number): RandomMachine {
  const machine = randomMachine(seed);
  return seed % 2 === 0 ? machine : { ...machine, problem: varietyFree(machine.problem) };
}

function capped({ problem, catalogue }: RandomMachine, caps: CountCaps): RandomMachine {
  const own = problem.caps;
  const tightened = Object.entries(caps).map(([kind, cap]) => [kind, Math.min(cap, own[kind as FrontierKind] ?? cap)]);
  return { problem: { ...problem, caps: { ...own, ...Object.fromEntries(tightened) } }, catalogue };
}

/** A point as a decision. */
function decisionOf({ status, order }: Point): Parameters<typeof agreementOf>[1] {
  return { status, ...(order === undefined ? {} : { answer: order.answer, evaluated: order.evaluated }) };
}

/** A point against the cheapest of all combinations under the same caps. */
function compared(machine: RandomMachine, caps: CountCaps, point: Point): Agreement {
  const { problem, catalogue } = capped(machine, caps);
  const tried = bruteForce(problem, catalogue);
  const title = `${problem.title} ${JSON.stringify(caps)}`;
  return agreementOf(title, decisionOf(point), tried.best, orderOracle(problem, catalogue, 2000));
}

/** Every cap on a kind from the most that an order holds down to the fewest there can be. */
function capsFrom(points: readonly Point[], kind: FrontierKind): number[] {
  const most = Math.max(0, ...points.map(({ order }) => order?.evaluated.money.distinct[kind] ?? 0));
  const least = fewestOf(kind);
  return Array.from({ length: Math.max(0, most - least + 1) }, (_, k) => most - k);
}

test("of each kind, every cap has the cheapest of all combinations, by an oracle that steps through time", async () => {
  const counts = { same: 0, near: 0, "energy-tie": 0, wrong: 0 };
  const seen = { none: 0, several: 0 };
  const wrong: string[] = [];
  for (const seed of SEEDS) {
    const machine = drawn(seed);
    for (const kind of FRONTIER_KINDS) {
      const { points, isWhole } = await sweepOf(machine, kind);
      expect(isWhole).toBe(true);
      seen.several += points.filter(({ order }) => order !== undefined).length > 1 ? 1 : 0;
      for (const cap of capsFrom(points, kind)) {
        const point = pointAt(points, { [kind]: cap });
        if (point === undefined) throw new Error(`${seed}: no point for ${cap} ${kind}`);
        const outcome = compared(machine, { [kind]: cap }, point);
        counts[outcome.kind] += 1;
        seen.none += point.order === undefined ? 1 : 0;
        if (outcome.kind === "wrong") wrong.push(outcome.why);
      }
    }
  }
  console.log(counts, seen);
  expect(wrong).toEqual([]);
  expect(counts.same).toBeGreaterThan(30);
  expect(seen.none).toBeGreaterThan(10);
  expect(seen.several).toBeGreaterThan(2);
});

test("of two kinds, every pair of caps has the cheapest of all combinations", async () => {
  const wrong: string[] = [];
  let pairs = 0;
  for (const seed of PAIR_SEEDS) {
    const machine = drawn(seed);
    const { points, isWhole } = await sweepOf(machine, "motors", "gearboxes");
    expect(isWhole).toBe(true);
    for (const motors of capsFrom(points, "motors")) {
      for (const gearboxes of capsFrom(points, "gearboxes")) {
        const point = pointAt(points, { motors, gearboxes });
        if (point === undefined) throw new Error(`${seed}: no point for ${motors} and ${gearboxes}`);
        const outcome = compared(machine, { motors, gearboxes }, point);
        pairs += 1;
        if (outcome.kind === "wrong") wrong.push(outcome.why);
      }
    }
  }
  expect(wrong).toEqual([]);
  expect(pairs).toBeGreaterThan(8);
});

test("every point is the very order that is decided afresh under its cap, ties included", async () => {
  let tightened = 0;
  for (const seed of SEEDS) {
    const machine = drawn(seed);
    for (const kind of ["motors", "parts"] as const) {
      const { points } = await sweepOf(machine, kind);
      for (const { caps, status, order } of points) {
        const fresh = await decided(capped(machine, caps));
        expect(status, `${seed} ${JSON.stringify(caps)}`).toBe(fresh.status);
        expect(order === undefined ? null : pickedBy({ answer: order.answer })).toEqual(pickedBy(fresh));
        tightened += caps[kind] === undefined ? 0 : 1;
      }
    }
  }
  expect(tightened).toBeGreaterThan(6);
});

test("the comparison can fail: the order of a looser cap is not that of a tighter one", async () => {
  for (const seed of SEEDS) {
    const machine = drawn(seed);
    const { points } = await sweepOf(machine, "parts");
    const [free, tighter] = points;
    if (free?.order === undefined || tighter?.order === undefined) continue;
    expect(compared(machine, tighter.caps, free)).toMatchObject({ kind: "wrong" });
    return;
  }
  throw new Error("no order of these seeds has two points");
});
