import { expect, test } from "vitest";
import { tallyOf, tallyText } from "../oracle/portfolio-tally.ts";
import { type Trial, trialOf } from "../oracle/portfolio-trial.ts";

const CHUNK = 25;
const STARTS = Array.from({ length: 20 }, (_, k) => CHUNK * k);

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
    const { wrong, changes, feasible, plain, unclosed, tried } = tallyOf(own);
    expect(wrong).toEqual([]);
    expect(changes).toEqual([]);
    expect(feasible).toBeGreaterThanOrEqual(15);
    expect(unclosed).toEqual([]);
    expect(plain.same).toBeGreaterThanOrEqual(CHUNK - 2);
    expect(tried.same).toBeGreaterThanOrEqual(10);
  },
);

test("of those 500, 200 were small, some had ties, and most kinds of rows decide in some", () => {
  console.log(tallyText(trials));
  const { tied, tried, kinds } = tallyOf(trials);
  expect(trials.length).toBe(CHUNK * STARTS.length);
  expect(tied).toBeGreaterThanOrEqual(10);
  expect(tried.same).toBeGreaterThanOrEqual(200);
  expect(Object.values(kinds).filter(({ present }) => present > 0).length).toBeGreaterThanOrEqual(22);
  expect(Object.values(kinds).filter(({ active }) => active > 0).length).toBeGreaterThanOrEqual(20);
});
