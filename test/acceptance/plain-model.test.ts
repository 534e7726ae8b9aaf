import { expect, test } from "vitest";
import { decide } from "../../src/decide/decide.ts";
import { isSetup, setupOf } from "../../src/decide/setup.ts";
import { readProblem } from "../../src/input/read-problem.ts";
import type { Catalogue } from "../../src/machine/catalogue.ts";
import { orderOracle } from "../../src/verify/evaluate-machine.ts";
import { plainOrder } from "../oracle/plain-input.ts";
import { solvePlain } from "../oracle/solve-plain.ts";

/** About `count` of the parts that the demo can use, evenly spread from an offset. */
function spread<T>(parts: readonly T[], count: number, offset: number): T[] {
  const step = Math.max(1, Math.floor(parts.length / count));
  return parts.filter((_, k) => k % step === offset % step).slice(0, count);
}

function thinned(all: Catalogue, offset: number): Catalogue {
  const braked = all.motors.filter(({ brakeTorque, part }) => brakeTorque !== undefined && part.includes("-H"));
  const bare = all.motors.filter(({ brakeTorque, part }) => brakeTorque === undefined && part.includes("-H"));
  const stands = all.drives.filter(({ busMax }) => busMax > 700);
  return {
    ...all,
    motors: [...spread(braked, 6, offset), ...spread(bare, 8, offset)],
    gearboxes: spread(all.gearboxes, 12, offset),
    drives: spread(stands, 6, offset),
    resistors: all.resistors.slice(0, 2),
    inductors: [],
  };
}

test.each([0, 1, 2])(
  "thinned demo %i: the optimum equals HiGHS on the plain model, within 3 cents of energy",
  async (offset) => {
    const input = await readProblem("problems/tray-transplanter.json");
    if (!input.ok) throw new Error("the demo does not read");
    const { problem } = input.value;
    const catalogue = thinned(input.value.catalogue, offset);
    const setup = setupOf(problem, catalogue);
    if (!isSetup(setup)) throw new Error("a motion of the demo cannot be");
    const options = {
      engine: "simplex",
      secondsLeft: () => 100,
      aborted: () => false,
      progress: () => undefined,
      ties: false,
    } as const;
    const decision = await decide(setup, options);
    const { input: plain, judge } = plainOrder(problem, catalogue, orderOracle(problem, catalogue));
    const found = await solvePlain(plain, judge);
    expect(decision.status).toBe(found === null ? "infeasible" : "optimal");
    expect(Math.abs((decision.evaluated?.money.total ?? -1) - (found?.cost ?? -1))).toBeLessThanOrEqual(3);
    expect(found).not.toBeNull();
  },
);
