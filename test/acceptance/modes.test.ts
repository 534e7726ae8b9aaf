import { expect, test } from "vitest";
import type { Axis, Problem, Segment } from "../../src/machine/problem.ts";
import { orderOracle } from "../../src/verify/evaluate-machine.ts";
import { type BruteForce, bruteForce } from "../oracle/brute-force.ts";
import { decided, pickedBy } from "../oracle/decided.ts";
import { type RandomMachine, randomMachine } from "../oracle/random-machine.ts";
import { withModes } from "../oracle/random-modes.ts";

/** Nearer to 1 than this, stepping through time may see a limit pass that does not, or the other way round. */
const NEAR = 0.002;

/** What is wrong with an answer, against the cheapest of all by stepping through every mode; null: nothing. */
async function wrongWith(machine: RandomMachine, { best }: BruteForce): Promise<string | null> {
  const decision = await decided(machine);
  const answer = pickedBy(decision);
  if (answer === null || decision.evaluated === undefined) {
    if (best === null) return decision.status === "infeasible" ? null : decision.status;
    return best.verdict.closeness < NEAR ? "near" : `nothing found, but this stands at ${best.verdict.total}`;
  }
  const seen = orderOracle(machine.problem, machine.catalogue, 800).evaluate(answer);
  const closeness = Math.min(seen.closeness, best?.verdict.closeness ?? 1);
  const { total } = decision.evaluated.money;
  const room = 1 + 2e-5 * Math.abs(seen.money.terms.energy);
  if (!seen.feasible || best === null) return closeness < NEAR ? "near" : `the pick fails ${seen.failed.join(", ")}`;
  if (Math.abs(total - seen.total) > room) return `costs ${seen.total}, not ${total}`;
  if (Math.abs(total - best.verdict.total) <= 2 * room) return null;
  return closeness < NEAR ? "near" : `picks at ${total} and not at ${best.verdict.total}`;
}

const BATCHES = [3000, 3008, 3016, 3024, 3032];

test.each(BATCHES)(
  "with modes, the cheapest answer is that of brute force over every run stepped through time: seeds from %i",
  async (first) => {
    const outcomes: (string | null)[] = [];
    for (let seed = first; seed < first + 8; seed++) {
      const machine = withModes(randomMachine(seed), seed);
      outcomes.push(await wrongWith(machine, bruteForce(machine.problem, machine.catalogue)));
    }
    const near = outcomes.filter((one) => one === "near").length;
    expect(outcomes.filter((one) => one !== null && one !== "near")).toEqual([]);
    expect(near).toBeLessThan(4);
  },
);

/** The problem without modes, its normal cycle being the k-th mode. */
function alone(problem: Problem, k: number): Problem {
  return {
    ...problem,
    machines: problem.machines.map((machine) => {
      const mode = machine.modes[k];
      if (mode === undefined) return { ...machine, modes: [] };
      const axes = machine.axes.map((axis): Axis => {
        const own = mode.axes.get(axis.id);
        const still: Segment = { kind: "dwell", time: mode.cycle, force: 0, payload: 0 };
        return { ...axis, start: 0, motion: own?.motion ?? [still], load: own?.load ?? axis.load };
      });
      return { ...machine, cycle: mode.cycle, axes, modes: [] };
    }),
  };
}

test("a mode for the whole time costs what the machine costs that does nothing else, or more where the normal cycle binds", async () => {
  let same = 0;
  for (let seed = 3100; seed < 3130; seed++) {
    const { problem, catalogue } = withModes(randomMachine(seed), seed);
    const machines = problem.machines.map((machine) => ({
      ...machine,
      modes: machine.modes.slice(0, 1).map((mode) => ({ ...mode, share: 1 })),
    }));
    const both = await decided({ catalogue, problem: { ...problem, machines } });
    const [only, normal] = await Promise.all([
      decided({ catalogue, problem: alone(problem, 0) }),
      decided({ catalogue, problem: { ...problem, machines: machines.map((machine) => ({ ...machine, modes: [] })) } }),
    ]);
    const total = both.evaluated?.money.total ?? Infinity;
    expect(total).toBeGreaterThanOrEqual((only.evaluated?.money.total ?? Infinity) - 1);
    expect(both.status === "infeasible" || normal.status !== "infeasible").toBe(true);
    if (total === only.evaluated?.money.total) same += 1;
  }
  expect(same).toBeGreaterThan(3);
});
