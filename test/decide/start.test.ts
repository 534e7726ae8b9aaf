import { expect, test } from "vitest";
import type { Court } from "../../src/decide/court.ts";
import type { Finder } from "../../src/decide/finder.ts";
import { searching } from "../../src/decide/searching.ts";
import { type Start, startOf } from "../../src/decide/start.ts";
import type { Problem } from "../../src/machine/problem.ts";
import { textOf } from "../oracle/agreement.ts";
import { decided, pickedBy } from "../oracle/decided.ts";
import { type RandomMachine, randomMachine } from "../oracle/random-machine.ts";

type Decided = Awaited<ReturnType<typeof decided>>;

let stood = 0;

/** Decides from a start; counts where a guess stands. */
async function begunFrom(order: RandomMachine, start: Start | undefined): Promise<Decided> {
  const finderOf = (court: Court): Finder => {
    const own = searching(court, { engine: "simplex", secondsLeft: () => 60, aborted: () => false, ties: true, start });
    const guess: Finder["guess"] = async (setup, judged) => {
      const found = await own.guess(setup, judged);
      if (found !== undefined) stood += 1;
      return found;
    };
    return { ...own, guess };
  };
  return decided(order, { finderOf });
}

/** What must not hang on where the search began. */
function endOf(decision: Decided): unknown {
  return [decision.status, decision.evaluated?.money.total, textOf(pickedBy(decision) ?? [])];
}

/** Orders much like one, in which its answer or a part of it does not stand or is not the cheapest any more. */
function neighbours({ problem }: RandomMachine, { evaluated, answer }: Decided): readonly Problem[] {
  const motors = answer?.machines.flatMap(({ axes }) => axes.map(({ motor }) => motor)) ?? [];
  const [first] = motors;
  const { caps, forbid, weights } = problem;
  const distinct = new Set(motors.map(({ maker, part }) => `${maker} ${part}`)).size;
  return [
    { ...problem, weights: { ...weights, variety: { ...weights.variety, motor: 4 * weights.variety.motor + 5000 } } },
    { ...problem, weights: { ...weights, mass: weights.mass + 2000 } },
    { ...problem, forbid: { ...forbid, parts: [...forbid.parts, ...(first === undefined ? [] : [first.part])] } },
    { ...problem, caps: { ...caps, motors: Math.max(1, distinct - 1) } },
    { ...problem, caps: { ...caps, price: (evaluated?.money.terms.purchase ?? 0) - 1 } },
  ];
}

/**
 * Wherever a search begins, it ends with the same answer. Own oracle: the search that begins from nothing, which brute
 * force confirms elsewhere.
 */
test("an answer does not hang on what another question ended with", async () => {
  let [begun, without] = [0, 0];
  let before: Start | undefined;
  for (let seed = 5100; seed < 5118; seed++) {
    const order = randomMachine(seed);
    const free = await decided(order);
    expect([seed, endOf(await begunFrom(order, before))]).toEqual([seed, endOf(free)]);
    const start = startOf(free, before);
    before = start;
    if (start === undefined) continue;
    for (const problem of [order.problem, ...neighbours(order, free)]) {
      const other = { ...order, problem };
      const [plain, started] = [await decided(other), await begunFrom(other, start)];
      expect([seed, endOf(started)]).toEqual([seed, endOf(plain)]);
      begun += 1;
      if (plain.status === "infeasible") without += 1;
    }
  }
  expect(stood).toBeGreaterThan(0.2 * begun);
  expect(without).toBeGreaterThan(0);
});

test("a start keeps the latest of different answers", async () => {
  const ends: Decided[] = [];
  for (let seed = 5100; ends.length < 6; seed++) {
    const decision = await decided(randomMachine(seed));
    if (decision.answer !== undefined) ends.push(decision);
  }
  const all = ends.reduce<Start | undefined>((start, end) => startOf(end, start), undefined);
  const again = ends.slice(-1).reduce((start, end) => startOf(end, start), all);
  expect(all?.answers).toHaveLength(4);
  expect(again).toEqual(all);
  const [last] = ends.slice(-1);
  expect(all?.multipliers).toEqual(last?.prepared[0]?.multipliers);
});
