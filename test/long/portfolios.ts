import { expect, test } from "vitest";
import { tallyOf, tallyText } from "../oracle/portfolio-tally.ts";
import { type Trial, trialOf } from "../oracle/portfolio-trial.ts";

const CHUNK = 50;
const STARTS = Array.from({ length: 10 }, (_, k) => CHUNK * k);

/** Combinations up to which all of them are tried. */
const SMALL = 4000;

const trials: Trial[] = [];

test.each(STARTS)(
  "random portfolios from %i on: picks and cost as by HiGHS on the plain model, and as by brute force where small",
  async (start) => {
    const own: Trial[] = [];
    for (let seed = start; seed < start + CHUNK; seed++)
      own.push(await trialOf(seed, { combinations: SMALL, kinds: seed % 4 === 0, engines: seed % 10 === 0 }));
    trials.push(...own);
    console.log(tallyText(own));
    const { wrong, changes, feasible, plain, tried } = tallyOf(own);
    expect(wrong).toEqual([]);
    expect(changes).toEqual([]);
    expect(feasible).toBeGreaterThanOrEqual(35);
    expect(plain.same).toBeGreaterThanOrEqual(CHUNK - 4);
    expect(tried.same).toBeGreaterThanOrEqual(20);
  },
);

test("of those 500, 200 were small, some had ties, and every kind of row decides in some", () => {
  console.log(tallyText(trials));
  const { tied, tried, kinds } = tallyOf(trials);
  expect(trials.length).toBe(CHUNK * STARTS.length);
  expect(tied).toBeGreaterThanOrEqual(10);
  expect(tried.same).toBeGreaterThanOrEqual(200);
  expect(Object.entries(kinds).filter(([, { active }]) => active === 0)).toEqual([]);
});
