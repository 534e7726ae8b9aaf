import { readFileSync } from "node:fs";
import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type SplineEnds, splineSlopes } from "../../src/maths/cubic-spline.ts";

interface Row {
  readonly time: number;
  readonly value: number;
  readonly slope: number;
  readonly curvature: number;
}

/** Rows of the table by case, with the ends as the table writes them. */
function cases(): Map<string, { ends: SplineEnds; rows: Row[] }> {
  const file = new URL("../../shared/reference/splines/cubic_splines.csv", import.meta.url);
  const found = new Map<string, { ends: SplineEnds; rows: Row[] }>();
  for (const line of readFileSync(file, "utf8").trim().split("\n").slice(1)) {
    const [name = "", ends = "", ...numbers] = line.split(",");
    const [first = 0, last = 0] = ends.split(" ").map(Number);
    const entry = found.get(name) ?? { ends: ends === "periodic" ? "periodic" : { first, last }, rows: [] };
    const [time = 0, value = 0, slope = 0, curvature = 0] = numbers.map(Number);
    entry.rows.push({ time, value, slope, curvature });
    found.set(name, entry);
  }
  return found;
}

/** Curvature at both ends of each interval, from values and slopes there. */
function curvatures(times: readonly number[], values: readonly number[], slopes: readonly number[]): number[][] {
  return times.slice(1).map((to, k) => {
    const h = to - (times[k] ?? 0);
    const mean = ((values[k + 1] ?? 0) - (values[k] ?? 0)) / h;
    const [s, next] = [slopes[k] ?? 0, slopes[k + 1] ?? 0];
    return [(6 * mean - 4 * s - 2 * next) / h, (2 * s + 4 * next - 6 * mean) / h];
  });
}

describe("cubic spline", () => {
  const table = [...cases()];

  test("the table holds every case", () => {
    expect(table.map(([, { rows }]) => rows.length)).toEqual([13, 10, 11, 4, 3, 2]);
  });

  test.each(table)("%s has the slopes and curvatures of SciPy", (_, { ends, rows }) => {
    const [times, values] = [rows.map(({ time }) => time), rows.map(({ value }) => value)];
    const slopes = splineSlopes({ times, values }, ends);
    const scale = Math.max(...rows.map(({ slope }) => Math.abs(slope)), 1);
    rows.forEach(({ slope }, k) => expect(Math.abs((slopes[k] ?? Number.NaN) - slope)).toBeLessThan(1e-11 * scale));
    const bends = curvatures(times, values, slopes);
    const most = Math.max(...rows.map(({ curvature }) => Math.abs(curvature)));
    bends.forEach(([first = 0, last = 0], k) => {
      expect(Math.abs(first - (rows[k]?.curvature ?? Number.NaN))).toBeLessThan(1e-11 * most);
      expect(Math.abs(last - (rows[k + 1]?.curvature ?? Number.NaN))).toBeLessThan(1e-11 * most);
    });
  });

  // RECALLED (from memory): Burden and Faires, Numerical Analysis, section 3.5: clamped spline of e^x through 0, 1, 2, 3.
  test("through e^x at 0, 1, 2, 3 (Burden and Faires, from memory)", () => {
    const [times, values] = [[0, 1, 2, 3], [0, 1, 2, 3].map(Math.exp)];
    const slopes = splineSlopes({ times, values }, { first: 1, last: Math.exp(3) });
    [1, 2.71016, 7.32652].forEach((slope, k) => expect(slopes[k]).toBeCloseTo(slope, 5));
    const halves = curvatures(times, values, slopes).map(([first = 0]) => first / 2);
    [0.44468, 1.26548, 3.35087].forEach((half, k) => expect(halves[k]).toBeCloseTo(half, 5));
  });

  // DERIVED (closed form): even knots of a sine have slopes 3·sin θ/(h·(2 + cos θ)) times its cosine.
  test("even knots of a sine get its cosine times 3·sin θ/(h·(2 + cos θ)) (derived)", () => {
    for (const count of [3, 4, 7, 40]) {
      const theta = (2 * Math.PI) / count;
      const times = Array.from({ length: count + 1 }, (_, k) => k * 0.1);
      const values = times.map((_, k) => Math.sin((k % count) * theta));
      const factor = (3 * Math.sin(theta)) / (0.1 * (2 + Math.cos(theta)));
      splineSlopes({ times, values }, "periodic").forEach((slope, k) =>
        expect(slope).toBeCloseTo(factor * Math.cos(k * theta), 10),
      );
    }
  });

  test("a cubic comes back as itself, and a straight climb stays straight when periodic", () => {
    const number = fc.integer({ min: -50, max: 50 }).map((n) => n / 10);
    const gaps = fc.array(fc.integer({ min: 1, max: 20 }), { minLength: 1, maxLength: 30 });
    fc.assert(
      fc.property(gaps, number, number, number, number, (steps, a, b, c, d) => {
        const times = [0];
        for (const step of steps) times.push((times.at(-1) ?? 0) + step / 10);
        const value = (t: number): number => a + t * (b + t * (c + t * d));
        const slope = (t: number): number => b + t * (2 * c + t * 3 * d);
        const ends = { first: slope(0), last: slope(times.at(-1) ?? 0) };
        const scale = 1 + Math.max(...times.map((t) => Math.abs(value(t)) + Math.abs(slope(t))));
        splineSlopes({ times, values: times.map(value) }, ends).forEach((found, k) =>
          expect(Math.abs(found - slope(times[k] ?? 0))).toBeLessThan(1e-10 * scale),
        );
        splineSlopes({ times, values: times.map((t) => a + b * t) }, "periodic").forEach((found) =>
          expect(found).toBeCloseTo(b, 9),
        );
      }),
      { seed: 11, numRuns: 200 },
    );
  });
});
