import { expect, test } from "vitest";
import { isKnown, mapFigure, REASON_WORDS, type Remark, remarkWords } from "../../../src/study/analysis/remark.ts";

const SAID: readonly (readonly [Remark, string])[] = [
  [{ kind: "lost-runs", lost: 2, of: 9 }, "2 of 9 runs gave no value (infeasible) and are left out"],
  [{ kind: "lost-blocks", lost: 1, of: 4 }, "1 of 4 blocks hold a run without a value (infeasible) and are left out"],
  [{ kind: "no-runs" }, "no run gave a value"],
  [{ kind: "constant-response", value: 3 }, "the response is 3 in every run: no factor moves it"],
  [
    { kind: "saturated", coefficients: 8 },
    "8 coefficients take as many runs: no degrees of freedom for error, no standard errors",
  ],
  [{ kind: "exact-fit" }, "the model meets every run exactly: standard errors are zero and nothing is tested"],
  [
    { kind: "near-ridge", directions: 1 },
    "the surface is nearly flat along 1 direction: the stationary point is uncertain there",
  ],
  [{ kind: "aliased", column: "C", of: [] }, "C is left out: it is zero in every run"],
  [
    {
      kind: "aliased",
      column: "C",
      of: [
        { column: "A × B", share: -1 },
        { column: "D", share: 0.5 },
      ],
    },
    "C is left out: in these runs it equals − A × B + 0.5 × D",
  ],
];

test.each(SAID)("%o is said in words", (remark, words) => {
  expect(remarkWords(remark)).toBe(words);
});

test("a figure is a number or says why not", () => {
  expect(isKnown(0)).toBe(true);
  expect(isKnown({ absent: "constant" })).toBe(false);
  expect(mapFigure(2, (x) => x * x)).toBe(4);
  expect(mapFigure({ absent: "constant" }, (x) => x)).toEqual({ absent: "constant" });
  for (const words of Object.values(REASON_WORDS)) expect(words).toMatch(/^[a-z].*[a-z]$/u);
});
