import { describe, expect, test } from "vitest";
import { type Decision, decide } from "../../src/decide/decide.ts";
import { judgedAxes } from "../../src/decide/narrow.ts";
import { isSetup, setupOf } from "../../src/decide/setup.ts";
import { explain } from "../../src/explain/explain.ts";
import { readProblem } from "../../src/input/read-problem.ts";
import type { Catalogue } from "../../src/machine/catalogue.ts";
import type { LimitId } from "../../src/machine/limit.ts";
import type { Problem } from "../../src/machine/problem.ts";

const OPTIONS = {
  engine: "simplex",
  secondsLeft: () => 120,
  aborted: () => false,
  progress: () => undefined,
  ties: false,
} as const;

function setupFor(problem: Problem, catalogue: Catalogue): Exclude<ReturnType<typeof setupOf>, readonly unknown[]> {
  const setup = setupOf(problem, catalogue);
  if (!isSetup(setup)) throw new Error("a motion of the problem cannot be");
  return setup;
}

async function solved(problem: Problem, catalogue: Catalogue): Promise<Decision> {
  return decide(setupFor(problem, catalogue), OPTIONS);
}

/** The problem with one limit of one axis relaxed by a share, or lifted. */
function edited(problem: Problem, axis: number, relax: Readonly<Partial<Record<LimitId, number | null>>>): Problem {
  const machines = problem.machines.map((machine) => ({
    ...machine,
    axes: machine.axes.map((own, a) => (a === axis ? { ...own, needs: { ...own.needs, relax } } : own)),
  }));
  return { ...problem, machines };
}

describe("binding prices and next steps, confirmed by editing the problem and solving afresh (own oracle: the solver itself)", () => {
  test("the single axis in imperial units", async () => {
    const input = await readProblem("problems/drum-feeder-imperial.json");
    if (!input.ok) throw new Error("the problem does not read");
    const { problem, catalogue } = input.value;
    const setup = setupFor(problem, catalogue);
    const decision = await decide(setup, OPTIONS, judgedAxes(setup));
    const { secondsLeft, aborted } = OPTIONS;
    const explained = await explain({
      setup,
      decision,
      engine: "simplex",
      secondsLeft,
      aborted,
      progress: () => undefined,
    });
    const total = decision.evaluated?.money.total ?? Number.NaN;
    const binding = explained.axes[0]?.[0];
    if (binding?.kind !== "held" || binding.nextStep === undefined) throw new Error("the axis is held by nothing");
    expect(binding.isProved && binding.nextStep.isLeast).toBe(true);

    const lifted = Object.fromEntries(binding.limits.map((id) => [id, null]));
    const without = await solved(edited(problem, 0, lifted), catalogue);
    expect(without.evaluated?.money.total).toBe(total - binding.price);

    const { share } = binding.nextStep;
    const eased = Object.fromEntries(binding.limits.map((id) => [id, share * (1 + 1e-6)]));
    const atStep = await solved(edited(problem, 0, eased), catalogue);
    expect(atStep.evaluated?.money.total).toBe(binding.nextStep.total);

    const short = Object.fromEntries(binding.limits.map((id) => [id, share * (1 - 1e-6)]));
    const before = await solved(edited(problem, 0, short), catalogue);
    expect(before.evaluated?.money.total).toBe(total);
  });
});
