import { describe, expect, test } from "vitest";
import { extendDesign, makeDesign } from "../../../src/study/designs/design.ts";
import { json } from "./published.ts";
import { continuous, FREE, figure, longer, made, refused, said } from "./sample.ts";

interface Computed {
  readonly design: string;
  readonly k: number;
  readonly runs: number;
  readonly centre?: number;
  readonly alpha?: number;
  readonly D_eff_quadratic: number;
}
const { computed } = json("rsm_designs_and_efficiency.json") as { computed: Computed[] };

/** The design a row of the table means. */
function designOf({ design, k, centre = 1 }: Computed) {
  const factors = continuous(k);
  if (design === "3^k") return made({ kind: "full-factorial", levels: 3 }, factors);
  if (design === "BBD") return made({ kind: "box-behnken", centre_points: centre }, factors);
  const star = design === "CCF" ? "face-centred" : "rotatable";
  return made({ kind: "central-composite", star, cube: "full", centre_points: centre }, factors);
}

test.each(computed)("$design of $k factors has the runs and the D-efficiency of the table (computed apart)", (row) => {
  const design = designOf(row);
  expect(design.points.length).toBe(row.runs);
  expect(figure(design, "D-efficiency, full quadratic model")).toBeCloseTo(row.D_eff_quadratic, 10);
  const alpha = design.kind === "central-composite" && row.alpha !== undefined ? figure(design, "alpha") : 0;
  expect(alpha).toBeCloseTo(row.alpha ?? 0, 12);
});

describe("Box-Behnken", () => {
  // Box and Behnken (1960), table 4; NIST/SEMATECH e-Handbook 5.3.3.6.2 for three factors.
  test("three factors: the published 13 different points", () => {
    const { points } = made({ kind: "box-behnken" }, continuous(3));
    const published = [
      [-1, -1, 0],
      [1, -1, 0],
      [-1, 1, 0],
      [1, 1, 0],
      [-1, 0, -1],
      [1, 0, -1],
      [-1, 0, 1],
      [1, 0, 1],
      [0, -1, -1],
      [0, 1, -1],
      [0, -1, 1],
      [0, 1, 1],
      [0, 0, 0],
    ];
    expect(points.map(String).toSorted()).toEqual(published.map(String).toSorted());
  });

  test.each([
    [3, 12],
    [4, 24],
    [5, 40],
    [6, 48],
    [7, 56],
  ])("%i factors: %i points besides the centre (Box, Behnken 1960), each factor as often low as high", (k, count) => {
    const { points } = made({ kind: "box-behnken" }, continuous(k));
    expect(points.length).toBe(count + 1);
    for (let factor = 0; factor < k; factor += 1) {
      const column = points.map((point) => point[factor] ?? 0);
      expect(column.reduce((sum, x) => sum + x, 0)).toBe(0);
      expect(column.filter((x) => x !== 0).length).toBeGreaterThan(0);
    }
  });

  test("other numbers of factors, and factors without a middle, are refused", () => {
    for (const k of [2, 8])
      expect(refused(makeDesign({ kind: "box-behnken" }, continuous(k), FREE)).possible).toContain("3 to 7 factors");
    const flat = [...continuous(2), { id: "brake", levels: 2, isCategorical: true }];
    expect(refused(makeDesign({ kind: "box-behnken" }, flat, FREE)).refused).toMatch(/brake has none/);
  });

  test("three listed levels in an order stand by index", () => {
    const { points } = made({ kind: "box-behnken" }, [
      ...continuous(2),
      { id: "poles", levels: 3, isCategorical: false },
    ]);
    expect(new Set(points.map((point) => point[2]))).toEqual(new Set([0, 1, 2]));
  });
});

describe("central composite", () => {
  // Box and Hunter (1957); NIST/SEMATECH e-Handbook 5.3.3.6.1, table 3.23.
  test.each([
    [2, "full", "1.414"],
    [3, "full", "1.682"],
    [4, "full", "2.000"],
    [5, "fraction", "2.000"],
    [5, "full", "2.378"],
    [6, "fraction", "2.378"],
    [6, "full", "2.828"],
    [7, "fraction", "2.828"],
    [7, "full", "3.364"],
    [8, "full", "4.000"],
  ] as const)("%i factors, cube %s: alpha %s (NIST 5.3.3.6.1)", (k, cube, alpha) => {
    const design = made({ kind: "central-composite", cube }, continuous(k));
    expect(figure(design, "alpha").toFixed(3)).toBe(alpha);
    expect(said(design, "rotatable")).toBe("yes");
    expect(said(design, "star points")).toMatch(/beyond/);
  });

  test.each([
    [4, 16],
    [5, 16],
    [6, 32],
    [7, 64],
    [8, 64],
    [9, 128],
  ])("%i factors: %i corners unless told otherwise", (k, corners) => {
    const design = made({ kind: "central-composite" }, continuous(k));
    expect(figure(design, "corners")).toBe(corners);
    expect(design.points.length).toBe(corners + 2 * k + 1);
    expect(figure(design, "D-efficiency, full quadratic model")).toBeGreaterThan(0.3);
  });

  test("inscribed, two factors: corners at ±0.7071, star at ±1 (levels of the NIST CVD example)", () => {
    const design = made({ kind: "central-composite", star: "inscribed" }, continuous(2));
    const levels = [...new Set(design.points.map(([x = 0]) => x))].toSorted((a, b) => a - b);
    expect(levels.map((x) => x.toFixed(4))).toEqual(["-1.0000", "-0.7071", "0.0000", "0.7071", "1.0000"]);
    // Printed there: 4, 15.13, 42, 68.87, 80 for a range of 4 to 80.
    expect(levels.map((x) => Number((42 + 38 * x).toFixed(2)))).toEqual([4, 15.13, 42, 68.87, 80]);
    expect(said(design, "rotatable")).toBe("yes");
  });

  // Box and Hunter (1957): n0 = 4·√F + 4 − 2·k makes a rotatable design orthogonal where it is whole.
  test.each([
    [2, 8],
    [4, 12],
  ])("%i factors with %i centre points: rotatable and orthogonal", (k, centre_points) => {
    const design = made({ kind: "central-composite", centre_points }, continuous(k));
    expect([said(design, "rotatable"), said(design, "orthogonal")]).toEqual(["yes", "yes"]);
    const one = made({ kind: "central-composite" }, continuous(k));
    expect(said(one, "orthogonal")).toBe("no");
    const alpha = figure(one, "alpha that would be orthogonal");
    expect(said(made({ kind: "central-composite", star: alpha }, continuous(k)), "orthogonal")).toBe("yes");
  });

  test("listed levels take face-centred stars only", () => {
    const factors = [...continuous(2), { id: "poles", levels: 5, isCategorical: false }];
    const { points } = made({ kind: "central-composite", star: "face-centred" }, factors);
    expect(new Set(points.map((point) => point[2]))).toEqual(new Set([0, 2, 4]));
    expect(refused(makeDesign({ kind: "central-composite" }, factors, FREE)).refused).toMatch(
      /poles has listed levels/,
    );
  });

  test("what does not exist is refused", () => {
    expect(
      refused(makeDesign({ kind: "central-composite", cube: "fraction" }, continuous(4), FREE)).possible,
    ).toContain("cube: full");
    expect(refused(makeDesign({ kind: "central-composite", cube: "full" }, continuous(12), FREE)).refused).toMatch(
      /4096/,
    );
    expect(refused(makeDesign({ kind: "central-composite" }, continuous(12), FREE)).refused).toMatch(/resolution V/);
    expect(refused(makeDesign({ kind: "central-composite" }, continuous(1), FREE)).refused).toMatch(/two factors/);
  });
});

describe("full factorial", () => {
  test("mixed levels: every combination once, the first factor fastest", () => {
    const factors = [
      { id: "speed", isCategorical: false },
      { id: "frame", levels: 3, isCategorical: true },
      { id: "poles", levels: 4, isCategorical: false },
    ];
    const { points } = made({ kind: "full-factorial", levels: { speed: 5, poles: 2 } }, factors);
    expect(points.length).toBe(30);
    expect(new Set(points.map(String)).size).toBe(30);
    expect(points.slice(0, 6)).toEqual([
      [-1, 0, 0],
      [-0.5, 0, 0],
      [0, 0, 0],
      [0.5, 0, 0],
      [1, 0, 0],
      [-1, 1, 0],
    ]);
    expect(new Set(points.map((point) => point[2]))).toEqual(new Set([0, 3]));
    expect(made({ kind: "full-factorial" }, factors).points.length).toBe(24);
  });

  test.each([
    [{ levels: { frame: 2 } }, /frame, which has 3/],
    [{ levels: { torque: 2 } }, /torque, which is no factor/],
    [{ levels: 1 }, /1 levels are asked for speed/],
    [{ levels: 400_000 }, /1200000 runs/],
  ])("refused: %j", (request, why) => {
    const factors = [
      { id: "speed", isCategorical: false },
      { id: "frame", levels: 3, isCategorical: true },
    ];
    expect(refused(makeDesign({ kind: "full-factorial", ...request }, factors, FREE)).refused).toMatch(why);
  });

  test("two levels grow into the face-centred central composite design", () => {
    const factors = continuous(3);
    const grown = longer(made({ kind: "full-factorial" }, factors), { kind: "full-factorial" }, factors);
    const composite = made({ kind: "central-composite", star: "face-centred" }, factors);
    expect(grown.points.map(String).toSorted()).toEqual(composite.points.map(String).toSorted());
    expect(figure(grown, "D-efficiency, full quadratic model")).toBeCloseTo(
      figure(composite, "D-efficiency, full quadratic model"),
      12,
    );
  });

  test("nothing grows from three levels or from a factor without a middle", () => {
    const three = { kind: "full-factorial", levels: 3 } as const;
    expect(refused(extendDesign(made(three, continuous(2)), three, continuous(2), FREE, 1)).refused).toMatch(
      /two levels/,
    );
    const factors = [...continuous(1), { id: "brake", levels: 2, isCategorical: true }];
    const two = { kind: "full-factorial" } as const;
    expect(refused(extendDesign(made(two, factors), two, factors, FREE, 1)).refused).toMatch(/brake has no middle/);
  });
});
