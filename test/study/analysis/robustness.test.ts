import { expect, test } from "vitest";
import { noiseRunsBy, robustnessTable, wilsonInterval } from "../../../src/study/analysis/robustness.ts";

test.each([
  [81, 263, 0.2553, 0.3662],
  [15, 148, 0.0624, 0.1605],
  [0, 20, 0, 0.1611],
  [1, 29, 0.0061, 0.1718],
])(
  "Wilson interval of %i in %i (R. G. Newcombe, Stat. Med. 17 (1998) 857, table I, from memory)",
  (count, of, low, high) => {
    const found = wilsonInterval(count, of, 0.95);
    expect(found.low).toBeCloseTo(low, 4);
    expect(found.high).toBeCloseTo(high, 4);
    // Of what did not happen it is the same the other way round.
    const turned = wilsonInterval(of - count, of, 0.95);
    expect(turned.low).toBeCloseTo(1 - high, 4);
    expect(turned.high).toBeCloseTo(1 - low, 4);
  },
);

test("a table says how each run stands up to the noise, worst in the sense of what is wished", () => {
  const runs = [
    { id: "a", response: [10, 12, null, 14] },
    { id: "b", response: [null, null] },
    { id: "c", response: [5] },
    { id: "d", response: [] },
  ];
  const [a, b, c, d] = robustnessTable(runs, "lower");
  expect(a).toMatchObject({ noiseRuns: 4, feasible: 3, share: 0.75, mean: 12, worst: 14, spread: 2 });
  expect(robustnessTable(runs, "raise")[0]?.worst).toBe(10);
  expect(b).toMatchObject({ share: 0, mean: { absent: "no-runs" }, worst: { absent: "no-runs" } });
  expect(b?.interval.low).toBe(0);
  expect(c).toMatchObject({ share: 1, spread: { absent: "no-freedom" }, interval: { high: 1 } });
  expect(d).toMatchObject({ share: { absent: "no-runs" }, interval: { low: 0, high: 1 } });
});

test("runs of a crossed array are put together by their inner run", () => {
  expect(noiseRunsBy(["a", "b", "a", "b"], [1, null, 3, 4])).toEqual([
    { id: "a", response: [1, 3] },
    { id: "b", response: [null, 4] },
  ]);
});
