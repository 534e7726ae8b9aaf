import * as fc from "fast-check";
import { expect, test } from "vitest";
import { capacitorRoom } from "../../../src/decide/bus-check.ts";
import {
  type BusPower,
  busPower,
  meanOfSign,
  meanPower,
  powerPeak,
  spansOfSign,
  worstWindow,
} from "../../../src/physics/power/bus-power.ts";
import { drawingPiece } from "../drawing-piece.ts";
import { driveWith, supplyWith } from "../sample-parts.ts";

/** A bus whose power is given stretch by stretch, each as long as the others, each a straight line. */
function busOf(lines: readonly (readonly [number, number])[], constant = 0): BusPower {
  const length = 1 / lines.length;
  const pieces = lines.map(([first, last], k) =>
    drawingPiece(k * length, (k + 1) * length, (t) => first + ((last - first) * (t - k * length)) / length),
  );
  return busPower([{ pair: { period: 1, pieces }, lossPerAmp: 0 }], constant, 1);
}

test("the largest power is found either way, with the side of the jump it is seen from", () => {
  const bus = busOf([
    [0, 100],
    [-60, 0],
  ]);
  expect(powerPeak(bus, 1)).toMatchObject({ time: 0.5, value: 100 });
  expect(powerPeak(bus, 1).inside).toBeLessThan(0.5);
  expect(powerPeak(bus, -1)).toMatchObject({ time: 0.5, value: 60 });
  expect(powerPeak(bus, -1).inside).toBeGreaterThan(0.5);
});

test("a bus that always takes power gives back less than nothing; equal peaks count where they come first", () => {
  const bus = busOf([
    [10, 10],
    [40, 40],
    [40, 40],
  ]);
  expect(powerPeak(bus, -1).value).toBe(-10);
  expect(powerPeak(bus, 1).time).toBeCloseTo(1 / 3, 12);
});

test("means of a triangle wave through zero: 1/8 of the swing either way, on half the time", () => {
  const bus = busOf([
    [-80, 80],
    [80, -80],
  ]);
  expect(meanOfSign(bus, 1)).toBeCloseTo(20, 12);
  expect(meanOfSign(bus, -1)).toBeCloseTo(-20, 12);
  expect(meanPower(bus)).toBeCloseTo(0, 12);
  const positive = spansOfSign(bus, 1).reduce((sum, { from, to }) => sum + to - from, 0);
  expect(positive).toBeCloseTo(0.5, 9);
});

test("spans of a sign that touch are one: three steps up, one down, two up", () => {
  const bus = busOf([3, 1, 2, -4, 5, 6].map((value) => [value, value]));
  expect(spansOfSign(bus, 1)).toEqual([nearSpan(0, 1 / 2), nearSpan(2 / 3, 1)]);
  expect(spansOfSign(bus, -1)).toEqual([nearSpan(1 / 2, 2 / 3)]);
});

function nearSpan(from: number, to: number): unknown {
  return { from: expect.closeTo(from, 12), to: expect.closeTo(to, 12) };
}

test("the worst window is what trying every start and end finds, over the end of the cycle too", () => {
  const level = fc.integer({ min: -9, max: 10 });
  let wrapped = 0;
  fc.assert(
    fc.property(fc.array(level, { minLength: 3, maxLength: 9 }), (levels) => {
      fc.pre(levels.reduce((sum, value) => sum + value, 0) > 0);
      const { energy, spans } = worstWindow(busOf(levels.map((value) => [value, value])));
      let most = 0;
      for (let first = 0; first < levels.length; first++) {
        let sum = 0;
        for (let k = 0; k < levels.length; k++) {
          sum -= (levels[(first + k) % levels.length] ?? 0) / levels.length;
          most = Math.max(most, sum);
        }
      }
      expect(energy).toBeCloseTo(most, 9);
      const inWindow = spans.reduce(
        (sum, { from, to }) => sum - (to - from) * (levels[Math.floor(((from + to) / 2) * levels.length)] ?? 0),
        0,
      );
      expect(inWindow).toBeCloseTo(most, 9);
      if (spans.some(({ from }, k) => k > 0 && from < (spans[k - 1]?.from ?? 0))) wrapped += 1;
    }),
    { seed: 11, numRuns: 400 },
  );
  expect(wrapped).toBeGreaterThan(10);
});

test("a bus that gives back more than it takes has no largest window", () => {
  expect(
    worstWindow(
      busOf([
        [-3, -3],
        [1, 1],
      ]),
    ).energy,
  ).toBe(Number.POSITIVE_INFINITY);
});

// Source: shared/reference/physics/derived_cases.csv, BUS-1: E = C/2·(V2² − V1²) (derived).
test.each([
  { chopper: 780, high: 560, energy: 147.4 },
  { chopper: 390, high: 325, energy: 23.2375 },
])("1000 µF from $high V to $chopper V take $energy J (BUS-1)", ({ chopper, high, energy }) => {
  const supply = supplyWith({ chopperVoltage: chopper, capacitance: 600e-6 });
  const room = capacitorRoom({ supply, resistor: undefined, way: "capacitors" }, [driveWith({ capacitance: 400e-6 })], {
    low: 0,
    high,
  });
  expect(room).toBeCloseTo(energy, 9);
});
