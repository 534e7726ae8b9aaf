import { expect, test } from "vitest";
import type { Axis, Problem, Segment } from "../../src/machine/problem.ts";
import { decided } from "../oracle/decided.ts";
import { randomMachine } from "../oracle/random-machine.ts";
import { withModes } from "../oracle/random-modes.ts";
import { triedModes } from "./tried-modes.ts";

/** A share of the batches of `test/long/modes.ts`. */
test.each([3000, 3016, 3024])(
  "with modes, the cheapest answer is that of brute force over every run stepped through time: seeds from %i",
  async (first) => {
    const outcomes = await triedModes(first);
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
