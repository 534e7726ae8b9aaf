import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  type Design,
  type DesignFactor,
  type DesignKind,
  type DesignPoint,
  type DesignRequest,
  extendDesign,
  isRefusal,
  makeDesign,
} from "../../../src/study/designs/design.ts";
import { givenDesign } from "../../../src/study/designs/given.ts";
import { continuous, FREE, figure, made, refused } from "./sample.ts";

/** A wish of every kind for four continuous factors, and what more of it gives. */
const SAMPLES: {
  readonly [K in Exclude<DesignKind, "given">]: { readonly request: DesignRequest<K>; readonly grown?: number };
} = {
  "full-factorial": { request: { kind: "full-factorial" }, grown: 25 },
  "fractional-factorial": { request: { kind: "fractional-factorial", resolution: 4 }, grown: 16 },
  "plackett-burman": { request: { kind: "plackett-burman" }, grown: 16 },
  "box-behnken": { request: { kind: "box-behnken" } },
  "central-composite": { request: { kind: "central-composite" } },
  "definitive-screening": { request: { kind: "definitive-screening" } },
  "latin-hypercube": { request: { kind: "latin-hypercube", runs: 12 }, grown: 17 },
  sobol: { request: { kind: "sobol", runs: 16 }, grown: 21 },
  halton: { request: { kind: "halton", runs: 16 }, grown: 21 },
  "d-optimal": { request: { kind: "d-optimal", runs: 16, model: "quadratic" }, grown: 21 },
  sensitivity: { request: { kind: "sensitivity", base: 8 }, grown: 54 },
};
const KINDS = Object.values(SAMPLES);
const FACTORS = continuous(4);

describe.each(KINDS)("$request.kind", ({ request, grown }) => {
  test("same arguments, same design; arguments unchanged; runs and factors said", () => {
    const before = structuredClone([request, FACTORS]);
    const design = made(request, FACTORS);
    expect(made(request, FACTORS)).toEqual(design);
    expect([request, FACTORS]).toEqual(before);
    expect(figure(design, "runs")).toBe(design.points.length);
    expect(figure(design, "factors")).toBe(4);
    expect(design.kind).toBe(request.kind);
    expect(design.points.every((point) => point.length === 4 && point.every(Number.isFinite))).toBe(true);
    for (const { name, value } of design.properties) expect([name, value].filter((text) => text === "")).toEqual([]);
    expect(new Set(design.properties.map(({ name }) => name)).size).toBe(design.properties.length);
  });

  test("more runs keep the old ones first, or the wish is refused with what is possible", () => {
    const design = made(request, FACTORS);
    const more = extendDesign(design, request, FACTORS, FREE, 5);
    expect(isRefusal(more) ? undefined : more.points.length).toBe(grown);
    expect(isRefusal(more) ? more.possible.length : 2).toBeGreaterThan(1);
    const points = isRefusal(more) ? design.points : more.points;
    expect(points.slice(0, design.points.length)).toEqual(design.points);
    expect(extendDesign(design, request, FACTORS, FREE, 5)).toEqual(more);
  });

  test("no factors, two of one name, and nothing to vary are refused", () => {
    const ask = (factors: DesignFactor[]): string => refused(makeDesign(request, factors, FREE)).refused;
    expect(ask([])).toMatch(/no factors/);
    expect(ask([...FACTORS, ...FACTORS.slice(0, 1)])).toMatch(/two factors are called A/);
    expect(ask([...FACTORS, { id: "frame", levels: 1, isCategorical: true }])).toMatch(/frame has nothing to vary/);
    expect(ask([...FACTORS, { id: "frame", isCategorical: true }])).toMatch(/frame has nothing to vary/);
    expect(refused(extendDesign(made(request, FACTORS), request, FACTORS, FREE, 0)).refused).toMatch(/0 more runs/);
  });
});

describe("a constraint between factors", () => {
  const settings = { seed: 1, isAllowed: ([x = 0, y = 0]: DesignPoint) => x + y < 1.5 };
  const keep = new Set<DesignKind>(["latin-hypercube", "sobol", "halton", "d-optimal"]);

  test.each(KINDS)(
    "$request.kind keeps to it, or is refused with the number of points that break it",
    ({ request }) => {
      const free = made(request, FACTORS).points.filter((point) => !settings.isAllowed(point)).length;
      const design = makeDesign(request, FACTORS, settings);
      expect(isRefusal(design)).toBe(free > 0 && !keep.has(request.kind));
      const { points, why, possible } = isRefusal(design)
        ? { points: [], why: design.refused, possible: design.possible.join() }
        : { points: design.points, why: `${free} of `, possible: "latin-hypercube" };
      expect(points.filter((point) => !settings.isAllowed(point))).toEqual([]);
      expect(why).toContain(`${free} of `);
      expect(possible).toContain("latin-hypercube");
    },
  );
});

test("seeded designs hang on the seed, the others do not", () => {
  const seeded = KINDS.filter(({ request }) => {
    const [one, two] = [1, 2].map((seed) => made(request, FACTORS, { ...FREE, seed }).points);
    return String(one) !== String(two);
  });
  expect(seeded.map(({ request }) => request.kind)).toContain("latin-hypercube");
  expect(seeded.every(({ request }) => ["latin-hypercube", "d-optimal"].includes(request.kind))).toBe(true);
});

test("the same points on every machine: these stand written down", () => {
  const { points } = made({ kind: "latin-hypercube", runs: 5 }, continuous(2), { ...FREE, seed: 1 });
  expect(points).toMatchInlineSnapshot(`
    [
      [
        0,
        0,
      ],
      [
        0.8,
        0.3999999999999999,
      ],
      [
        -0.4,
        0.8,
      ],
      [
        -0.8,
        -0.4,
      ],
      [
        0.3999999999999999,
        -0.8,
      ],
    ]
  `);
});

const anyFactors = fc.array(
  fc.oneof(
    fc.constant({ isCategorical: false }),
    fc.record({ levels: fc.integer({ min: 2, max: 5 }), isCategorical: fc.boolean() }),
  ),
  { minLength: 1, maxLength: 6 },
);

test("any kind with any factors gives points of these factors, or a refusal that says what is possible", () => {
  let designs = 0;
  fc.assert(
    fc.property(anyFactors, fc.constantFrom(...KINDS), (kinds, { request }) => {
      const factors = kinds.map((kind, k): DesignFactor => ({ ...kind, id: `f${k}` }));
      const design = makeDesign<DesignKind>(
        { ...request, ...(request.kind === "d-optimal" ? { model: "linear", starts: 2, candidates: 3 } : {}) },
        factors,
        FREE,
      );
      designs += Number(!isRefusal(design));
      expect(isRefusal(design) ? design.possible.length : 1).toBeGreaterThan(0);
      // Handed in again, points that are none of these factors' would be refused.
      const points = isRefusal(design) ? [factors.map(() => 0)] : design.points;
      expect(givenDesign(points, factors, FREE)).toHaveProperty("points", points);
    }),
    { seed: 13, numRuns: 200 },
  );
  expect(designs).toBeGreaterThan(100);
});

describe("runs of one's own", () => {
  const factors = [...continuous(1), { id: "frame", levels: 3, isCategorical: true }];

  test("stand as they are", () => {
    const points = [
      [0.3, 2],
      [-1, 0],
      [1.2, 1],
    ];
    const design = givenDesign(points, factors, FREE) as Design;
    expect(design.kind).toBe("given");
    expect(design.points).toEqual(points);
    expect(figure(design, "runs")).toBe(3);
  });

  test.each([
    [[[0, 1], [0]], /run 2 is no point/],
    [[[0, 3]], /run 1 is no point/],
    [[[0, 0.5]], /run 1 is no point/],
    [[[Number.NaN, 0]], /run 1 is no point/],
    [[], /no runs/],
  ])("refused: %j", (points, why) => {
    expect(refused(givenDesign(points, factors, FREE)).refused).toMatch(why);
  });

  test("that break a constraint are refused by number", () => {
    const settings = { seed: 1, isAllowed: ([x = 0]: DesignPoint) => x < 0.5 };
    expect(
      refused(
        givenDesign(
          [
            [0, 0],
            [1, 0],
          ],
          factors,
          settings,
        ),
      ).refused,
    ).toMatch(/run 2 breaks/);
  });

  test("come from a file that is read elsewhere", () => {
    const request = { kind: "given", file: "runs.csv" } as const;
    expect(refused(makeDesign(request, factors, FREE)).possible).toEqual(["givenDesign with the points of the file"]);
    const design = givenDesign([[0, 0]], factors, FREE) as Design;
    expect(refused(extendDesign(design, request, factors, FREE, 1)).refused).toMatch(/more lines of its file/);
  });
});
