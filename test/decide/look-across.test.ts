import { expect, test } from "vitest";
import { brakingsOf, feedingBack } from "../../src/decide/braking-classes.ts";
import { type DecideOptions, decide } from "../../src/decide/decide.ts";
import { lookAcross } from "../../src/decide/first-look.ts";
import { isSetup, setupOf } from "../../src/decide/setup.ts";
import { startOf } from "../../src/decide/start.ts";
import type { Problem } from "../../src/machine/problem.ts";
import { randomMachine } from "../oracle/random-machine.ts";

const OPTIONS: DecideOptions = {
  engine: "simplex",
  secondsLeft: () => 60,
  aborted: () => false,
  progress: () => undefined,
  ties: false,
};

/** Orders of one bus that both ways of braking can feed, of the hundred from 7000 on; the others say nothing here. */
const SEEDS = [
  7011, 7013, 7016, 7025, 7031, 7035, 7038, 7041, 7042, 7050, 7058, 7063, 7070, 7076, 7079, 7084, 7088, 7091,
];

/** What is given back weighs more than orders of chance have it. */
function withDearEnergy(problem: Problem, times: number): Problem {
  const { weights } = problem;
  const energy = { ...weights.energy, duration: times * weights.energy.duration, years: times * weights.energy.years };
  return { ...problem, weights: { ...weights, energy } };
}

test("seen from supplies that burn what is given back, no order with one that feeds back costs less than the bound", async () => {
  let [looked, partly, close] = [0, 0, 0];
  for (const seed of SEEDS) {
    const { problem: cheap, catalogue } = randomMachine(seed);
    const problem = withDearEnergy(cheap, 50);
    const setup = setupOf(problem, catalogue);
    if (!isSetup(setup)) throw new Error(JSON.stringify(setup));
    const { first: plain, both } = brakingsOf(setup);
    const [bus] = both;
    const buses = setup.machines.flatMap((machine) => machine.buses);
    if (bus === undefined || buses.length !== 1)
      throw new Error(`${problem.title} has not one bus that both ways of braking can feed`);
    const unbegun = await decide(plain.setup, OPTIONS);
    const begun = await decide(plain.setup, { ...OPTIONS, start: startOf(unbegun, undefined) });
    const back = feedingBack(setup, both, [bus]);
    const { evaluated } = await decide(back.setup, OPTIONS);
    if (evaluated === undefined) continue;
    for (const { looks, memory } of [unbegun, begun]) {
      const seen = looks?.first;
      if (seen === undefined) continue;
      const { bound, rounding } = lookAcross(seen, back.setup, bus, memory);
      looked += 1;
      if (seen.taken.flat(2).some(({ share }) => share < 1)) partly += 1;
      expect(bound).toBeLessThanOrEqual(evaluated.money.total + rounding);
      if (bound > 0.5 * evaluated.money.total) close += 1;
    }
  }
  expect(partly).toBeGreaterThan(0);
  expect(looked).toBeGreaterThan(16);
  // A bound that is no bound at all would hold, too.
  expect(close).toBeGreaterThan(0.5 * looked);
});
