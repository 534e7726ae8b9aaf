import { expect, test } from "vitest";
import { tallyOf, tallyText } from "../oracle/portfolio-tally.ts";
import { type Trial, trialOf } from "../oracle/portfolio-trial.ts";

/** Two of the 500 that take as long as all others here together; their neighbours take their places. */
const SLOW = [125, 425];

/** A share of the portfolios of `test/long/portfolios.ts`, which tries all of them. */
const SEEDS = Array.from({ length: 20 }, (_, k) => (SLOW.includes(25 * k) ? 25 * k + 1 : 25 * k));

test("20 random portfolios: picks and cost as by HiGHS on the plain model, and as by brute force on the small ones, whatever engine and time", async () => {
  const trials: Trial[] = [];
  for (const seed of SEEDS) {
    const isSample = trials.length % 2 === 0;
    trials.push(await trialOf(seed, { combinations: 1000, kinds: isSample, engines: isSample }));
  }
  console.log(tallyText(trials));
  const { wrong, changes, feasible, plain, unclosed, tried, kinds } = tallyOf(trials);
  expect(wrong).toEqual([]);
  expect(changes).toEqual([]);
  expect(feasible).toBeGreaterThanOrEqual(14);
  expect(unclosed).toEqual([]);
  expect(plain.same).toBeGreaterThanOrEqual(18);
  expect(tried.same).toBeGreaterThanOrEqual(12);
  expect(Object.values(kinds).filter(({ active }) => active > 0).length).toBeGreaterThanOrEqual(6);
});
