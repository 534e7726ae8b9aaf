import { expect, test } from "vitest";
import { brakingClasses } from "../../src/decide/braking-classes.ts";
import { type DecideOptions, decide } from "../../src/decide/decide.ts";
import { lookAcross } from "../../src/decide/first-look.ts";
import { isSetup, setupOf } from "../../src/decide/setup.ts";
import { randomMachine } from "../oracle/random-machine.ts";

const OPTIONS: DecideOptions = {
  engine: "simplex",
  secondsLeft: () => 60,
  aborted: () => false,
  progress: () => undefined,
  ties: false,
};

test("seen from supplies that burn what is given back, no order with one that feeds back costs less than the bound", async () => {
  let [looked, close] = [0, 0];
  for (let seed = 7000; seed < 7100; seed++) {
    const { problem, catalogue } = randomMachine(seed);
    const setup = setupOf(problem, catalogue);
    if (!isSetup(setup)) throw new Error(JSON.stringify(setup));
    const [plain, back] = brakingClasses(setup);
    const buses = setup.machines.flatMap((machine) => machine.buses);
    if (plain === undefined || plain.feedsBack || back === undefined || buses.length !== 1) continue;
    const seen = (await decide(plain.setup, OPTIONS)).looks.get(false);
    if (seen?.isWhole !== true) continue;
    const { bound, rounding } = lookAcross(seen, back.setup);
    const { evaluated } = await decide(back.setup, OPTIONS);
    if (evaluated === undefined) continue;
    looked += 1;
    expect(bound).toBeLessThanOrEqual(evaluated.money.total + rounding);
    if (bound > 0.5 * evaluated.money.total) close += 1;
  }
  expect(looked).toBeGreaterThan(8);
  // A bound that is no bound at all would hold, too.
  expect(close).toBeGreaterThan(0.5 * looked);
});
