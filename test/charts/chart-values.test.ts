import { describe, expect, test } from "vitest";
import type { ChartOption } from "../../src/charts/chart-option.ts";
import { effectsBarsOption } from "../../src/charts/effects-bars.ts";
import { flipMapOption } from "../../src/charts/flip-map.ts";
import { frontierStepsOption } from "../../src/charts/frontier-steps.ts";
import { paretoOption } from "../../src/charts/pareto.ts";
import { ratioCurvesOption } from "../../src/charts/ratio-curves.ts";
import { renderSvg } from "../../src/charts/render-svg.ts";
import { EFFECTS, sampleCharts, UTILISATION } from "./sample-charts.ts";
import {
  boxOf,
  everyElement,
  marksOf,
  type Point,
  placeOf,
  pointsOf,
  polylineOf,
  readSvg,
  type SvgElement,
  textsOf,
} from "./svg-tree.ts";

const draw = (option: ChartOption | undefined): SvgElement => {
  if (option === undefined) throw new Error("no such chart");
  return readSvg(renderSvg(option, { width: 800, height: 500 }));
};
const SAMPLES = sampleCharts();
const drawn = (name: string): SvgElement => draw(SAMPLES[name]);

/** Coordinates are written to a tenth of a pixel, lines at half pixels; bars are less wide by their border. */
const PIXEL = 0.9;

/** Whether the second list is the first one scaled and shifted, to a pixel; the scale is that of its ends. */
function isLinear(values: readonly number[], pixels: readonly number[]): boolean {
  const low = values.indexOf(Math.min(...values));
  const high = values.indexOf(Math.max(...values));
  const scale = ((pixels[high] ?? 0) - (pixels[low] ?? 0)) / ((values[high] ?? 0) - (values[low] ?? 0));
  const expected = values.map((value) => (pixels[low] ?? 0) + scale * (value - (values[low] ?? 0)));
  const off = expected.map((pixel, k) => Math.abs(pixel - (pixels[k] ?? Number.NaN)));
  return pixels.length === values.length && Math.abs(scale) > 0 && off.every((each) => each <= PIXEL);
}

/** Paths drawn with a stroke, legend left out. */
function strokesOf(root: SvgElement, color: string, tag = "path"): SvgElement[] {
  return everyElement(root).filter(
    ({ tag: own, attributes }) =>
      own === tag &&
      attributes.get("stroke") === color &&
      !attributes.has("transform") &&
      attributes.get("fill") === "none",
  );
}

const xs = (points: readonly Point[]): number[] => points.map(({ x }) => x);
const ys = (points: readonly Point[]): number[] => points.map(({ y }) => y);

describe("bars", () => {
  test("effects stand by size from the top, to the left of 0 where negative, as long as their values", () => {
    const root = drawn("effects");
    const bars = marksOf(root, 0).map(boxOf);
    const zero = bars[1]?.left ?? Number.NaN;
    const signed = bars.map(({ left, right }) => (Math.abs(right - zero) < PIXEL ? left - zero : right - zero));
    expect(signed.map(Math.sign)).toEqual(EFFECTS.map(Math.sign));
    expect(isLinear([0, ...EFFECTS], [0, ...signed])).toBe(true);
    const tops = bars.map(({ top }) => top);
    expect(tops).toEqual(tops.toSorted((a, b) => a - b));
    expect(textsOf(root)).toEqual(expect.arrayContaining(["-1,840", "1,260", "42", "ME", "-SME"]));
  });

  test("limits of effects lie at ± their values", () => {
    const root = drawn("effects");
    const bars = marksOf(root, 0).map(boxOf);
    const lines = marksOf(root, 1).map(({ attributes }) => pointsOf(attributes.get("d") ?? "")[0]?.x ?? Number.NaN);
    expect(isLinear([-1840, -250, 250, -520, 520], [bars[0]?.left ?? 0, ...lines])).toBe(true);
  });

  test("effects within every limit are grey, others by sign", () => {
    const colors = marksOf(drawn("effects"), 0).map(({ attributes }) => attributes.get("fill"));
    expect(new Set(colors.slice(5))).toEqual(new Set(["#b3b3b3"]));
    expect(colors.slice(0, 5)).toEqual(["#d55e00", "#0072b2", "#0072b2", "#d55e00", "#0072b2"]);
  });

  test("of many effects the largest are shown, and the picture says how many are not", () => {
    const effects = Array.from({ length: 60 }, (_, k) => ({ name: `e${k}`, value: k + 1 }));
    const root = draw(effectsBarsOption({ title: "t", quantity: "q", effects, limits: [] }));
    expect(marksOf(root, 0)).toHaveLength(24);
    expect(textsOf(root)).toEqual(expect.arrayContaining(["e59", "36 smaller ones not shown"]));
    expect(textsOf(root)).not.toContain("e0");
  });

  test("Sobol indices: both bars as long as their values, whiskers from low to high, largest total first", () => {
    const root = drawn("sobol");
    const first = marksOf(root, 0).map(boxOf);
    const total = marksOf(root, 1).map(boxOf);
    const values = [0.52, 0.21, 0.05, -0.004];
    expect(
      isLinear(
        [...values.slice(0, 3), ...values.map((value) => value + 0.06)],
        [...first.slice(0, 3), ...total].map(({ right }) => right),
      ),
    ).toBe(true);
    const stems = marksOf(root, 2, "polyline")
      .map(polylineOf)
      .filter((_, k) => k % 3 === 0);
    const ends = [
      ...values.map((value) => [value - 0.03, value + 0.03]),
      ...values.map((value) => [value + 0.02, value + 0.1]),
    ];
    expect(isLinear([...ends.flat(), 0.52], [...stems.flatMap(xs), first[0]?.right ?? 0])).toBe(true);
    const inBar = [...first, ...total].map(({ top, bottom }, k) => {
      const y = stems[k]?.[0]?.y ?? Number.NaN;
      return y > top && y < bottom;
    });
    expect(inBar).toEqual(inBar.map(() => true));
    expect(inBar).toHaveLength(8);
  });

  test("robustness: bars in per cent of the axis, the surest at the top, counts beside them", () => {
    const root = drawn("robustness");
    const bars = marksOf(root, 0).map(boxOf);
    expect(isLinear([0, 100, 61, 3], [bars[0]?.left ?? 0, ...bars.map(({ right }) => right)])).toBe(true);
    expect(textsOf(root)).toEqual(expect.arrayContaining(["100 of 100", "61 of 100", "3 of 100"]));
  });
});

describe("points", () => {
  test("half-normal: size over score, active ones named", () => {
    const root = drawn("half-normal");
    const places = [...marksOf(root, 2), ...marksOf(root, 1)].map(placeOf);
    const sizes = EFFECTS.map(Math.abs);
    expect(
      isLinear(
        sizes.map((_, k) => 2 - 0.25 * k),
        xs(places),
      ),
    ).toBe(true);
    expect(isLinear(sizes, ys(places))).toBe(true);
    const texts = textsOf(root);
    expect(texts).toEqual(expect.arrayContaining(["cycle time", "payload", "incline", "cycle × payload"]));
    expect(texts).not.toContain("price");
  });

  test("predicted against observed: the line of agreement goes through points that agree", () => {
    const root = drawn("predicted");
    const above = marksOf(root, 1).map(placeOf);
    const below = marksOf(root, 2).map(placeOf);
    const [from, to] = polylineOf(marksOf(root, 0, "polyline")[0] ?? root);
    const lineAt = (x: number): number =>
      (from?.y ?? 0) + (((to?.y ?? 0) - (from?.y ?? 0)) * (x - (from?.x ?? 0))) / ((to?.x ?? 0) - (from?.x ?? 0));
    expect(above).toHaveLength(5);
    expect(below).toHaveLength(4);
    const heights = [...above, ...below].map(({ x, y }) => lineAt(x) - y);
    expect(isLinear([150, 150, 150, 150, 150, -220, -220, -220, -220, 0], [...heights, 0])).toBe(true);
  });

  test("residuals: one beyond the limit is marked and named, others are not", () => {
    const root = drawn("residuals");
    const residuals = Array.from({ length: 9 }, (_, k) => (k === 4 ? 2.9 : (k % 3) - 1.2));
    const far = marksOf(root, 3).map(placeOf);
    const near = marksOf(root, 2).map(placeOf);
    expect(far).toHaveLength(1);
    expect(isLinear([...residuals.filter((_, k) => k !== 4), 2.9], ys([...near, ...far]))).toBe(true);
    expect(textsOf(root).filter((text) => text.startsWith("run"))).toEqual(["run 4"]);
  });

  test.each([
    ["low", "low", "horizontal"],
    ["low", "high", "horizontal"],
    ["high", "low", "upright"],
    ["high", "high", "upright"],
  ] as const)("the front of %s x and %s y leaves each point by a %s line", (x, y, way) => {
    const rising = (x === "low") !== (y === "low");
    const points = [1, 2, 4].map((at, k) => ({
      x: at,
      y: rising ? ([1, 3, 4][k] ?? 0) : ([4, 3, 1][k] ?? 0),
      label: "",
      front: true,
    }));
    const root = draw(paretoOption({ title: "t", x: { name: "x", better: x }, y: { name: "y", better: y }, points }));
    const [line] = strokesOf(root, "#0072b2");
    const corners = pointsOf(line?.attributes.get("d") ?? "");
    expect(corners).toHaveLength(5);
    expect(
      isLinear(
        [1, 2, 4],
        [corners[0], corners[2], corners[4]].map((corner) => corner?.x ?? 0),
      ),
    ).toBe(true);
    const isFlat = Math.abs((corners[0]?.y ?? 0) - (corners[1]?.y ?? 0)) < PIXEL;
    expect(isFlat).toBe(way === "horizontal");
  });
});

describe("lines", () => {
  test("main effects: the same scale in every panel", () => {
    const root = drawn("main-effects");
    const lines = strokesOf(root, "#0072b2").map(({ attributes }) => pointsOf(attributes.get("d") ?? ""));
    expect(lines).toHaveLength(7);
    // Panels 0 to 4 are the first row.
    const values = [0, 1, 2, 3, 4].flatMap((k) => [0, 1, 2].map((level) => (k - 3) * level * 150));
    expect(isLinear(values, lines.slice(0, 5).flatMap(ys))).toBe(true);
  });

  test("interactions: a line for each level, with a gap where there was no run", () => {
    const root = drawn("interaction");
    const places = [...marksOf(root, 0), ...marksOf(root, 1)].map(placeOf);
    expect(isLinear([24_900, 24_500, 24_100, 25_900, 24_300], ys(places))).toBe(true);
    expect(textsOf(root)).toEqual(expect.arrayContaining(["payload 8 kg", "payload 14 kg"]));
  });

  test("frontier: a falling staircase, what changes beside it, a cross where there is no order", () => {
    const root = drawn("frontier");
    expect(isLinear([27_350, 25_480, 24_978], ys(marksOf(root, 2).map(placeOf)))).toBe(true);
    const counts = marksOf(root, 2).map(placeOf);
    expect(isLinear([2, 3, 5], xs(counts))).toBe(true);
    expect(isLinear([26_100, 24_220, 23_500, 27_350], [...ys(marksOf(root, 6).map(placeOf)), counts[0]?.y ?? 0])).toBe(
      true,
    );
    const [line] = strokesOf(root, "#0072b2");
    const corners = pointsOf(line?.attributes.get("d") ?? "");
    expect(isLinear([27_350, 27_350, 25_480, 25_480, 24_978], ys(corners))).toBe(true);
    const gap = polylineOf(marksOf(root, 1, "polyline")[0] ?? root);
    expect(isLinear([24_700, 24_978, 27_350], [...ys(gap), corners[0]?.y ?? 0])).toBe(true);
    expect(marksOf(root, 4)).toHaveLength(1);
    expect(textsOf(root)).toEqual(expect.arrayContaining(["no order", "one frame for all", "24,978", "27,350"]));
  });

  test("a frontier without any order has crosses alone", () => {
    const points = [1, 2].map((count) => ({ count, cost: null }));
    const root = draw(frontierStepsOption({ title: "t", cost: "c", counted: "n", points }));
    expect(textsOf(root).filter((text) => text === "no order")).toHaveLength(2);
  });
});

describe("ratio curves", () => {
  test("curves, window, catalogue and marks lie on one scale", () => {
    const root = drawn("ratios");
    const ticks = marksOf(root, 5, "polyline").map((each) => polylineOf(each)[0]?.x ?? 0);
    const shade = xs(polylineOf(marksOf(root, 0, "polygon")[0] ?? root));
    const marks = marksOf(root, 6).map(({ attributes }) => pointsOf(attributes.get("d") ?? "")[0]?.x ?? 0);
    expect(
      isLinear([3, 5, 10, 20, 50, 7.75, 22, 15.5, 13.5], [...ticks, Math.min(...shade), Math.max(...shade), ...marks]),
    ).toBe(true);
    const [speed] = strokesOf(root, "#d55e00").map(({ attributes }) => pointsOf(attributes.get("d") ?? ""));
    const allowed = pointsOf(marksOf(root, 4)[0]?.attributes.get("d") ?? "")[0]?.y ?? 0;
    // Motor speed reaches its limit where the window ends.
    const at22 = (speed ?? []).find(({ x }) => Math.abs(x - Math.max(...shade)) < PIXEL);
    expect(Math.abs((at22?.y ?? Number.NaN) - allowed)).toBeLessThan(PIXEL);
  });

  test("a curve that comes near nothing is grey and has no name of its own", () => {
    const texts = textsOf(drawn("ratios"));
    expect(texts).toEqual(
      expect.arrayContaining(["motor speed", "inertia ratio", "other limits", "every limit holds"]),
    );
    expect(texts).not.toContain("backlash");
  });

  test("on a logarithmic axis equal factors are equal widths", () => {
    const ratios = [2, 4, 8, 16, 32];
    const curves = Object.entries(UTILISATION).map(([name, at]) => ({
      name,
      points: ratios.map((ratio) => ({ ratio, utilisation: at(ratio) })),
    }));
    const root = draw(ratioCurvesOption({ title: "t", curves, windows: [], catalogue: ratios, logarithmic: true }));
    const series = everyElement(root).find(
      ({ tag, attributes }) => tag === "polyline" && attributes.has("data-series"),
    );
    const ticks = marksOf(root, Number(series?.attributes.get("data-series")), "polyline");
    expect(
      isLinear(
        [1, 2, 3, 4, 5],
        ticks.map((each) => polylineOf(each)[0]?.x ?? 0),
      ),
    ).toBe(true);
  });
});

describe("costs over the ratio", () => {
  test("equal factors of ratios are equal widths, price above and energy below lie on their own scales", () => {
    const root = drawn("ratio-costs");
    // Series by motor, failing picks before those that pass, then the name of the failing; energy after price.
    const picksOf = (first: number): Point[] => [0, 1].flatMap((k) => marksOf(root, first + k).map(placeOf));
    const [price, energy] = [picksOf(0), picksOf(5)];
    expect(isLinear([3, 5, 10].map(Math.log), xs(price))).toBe(true);
    expect(isLinear([724, 740, 780], ys(price))).toBe(true);
    expect(xs(energy)).toEqual(xs(price));
    expect(isLinear([304, 300, 325], ys(energy))).toBe(true);
    expect(Math.min(...ys(energy))).toBeGreaterThan(Math.max(...ys(price)));
    expect(textsOf(root)).toEqual(expect.arrayContaining(["M60-4", "M80-3", "a limit fails", "3", "5", "10"]));
  });
});

describe("maps", () => {
  const flip = flipMapOption({
    title: "t",
    picked: "motor",
    x: { name: "x", values: [1, 2, 4] },
    y: { name: "y", values: ["one", "two"] },
    picks: [
      ["A", "A", "B"],
      ["A", null, "B"],
    ],
  });

  test("flip map: cells reach half-way to their neighbours, rows of one pick are one shape", () => {
    const root = draw(flip);
    const polygons = everyElement(root).filter(({ tag }) => tag === "polygon");
    const boxes = polygons.map((each) => {
      const points = polylineOf(each);
      return { color: each.attributes.get("fill"), left: Math.min(...xs(points)), right: Math.max(...xs(points)) };
    });
    const [lowA, highA] = boxes.filter(({ color }) => color === boxes[0]?.color);
    const [lowB] = boxes.filter(({ color }) => color !== boxes[0]?.color);
    const none = boxes.at(-1);
    const left = lowA?.left ?? 0;
    // Edges at 0.5, 1.5, 3 and 5.
    expect(
      isLinear(
        [0.5, 3, 1.5, 5, 1.5, 3],
        [left, lowA?.right ?? 0, highA?.right ?? 0, lowB?.right ?? 0, none?.left ?? 0, none?.right ?? 0],
      ),
    ).toBe(true);
    expect(boxes).toHaveLength(5);
  });

  test("flip map: a line wherever the pick changes, a sign in every cell that has one, crosses elsewhere", () => {
    const root = draw(flip);
    const borders = everyElement(root).filter(
      ({ tag, attributes }) => tag === "polyline" && attributes.get("stroke") === "#1a1a1a",
    );
    // A|B below; A|none, none|B above; A over none in the middle column.
    expect(borders).toHaveLength(4);
    const crosses = everyElement(root).filter(
      ({ tag, attributes }) => tag === "polyline" && attributes.get("stroke") === "#b3b3b3",
    );
    expect(crosses).toHaveLength(2);
    expect([...marksOf(root, 1), ...marksOf(root, 3)]).toHaveLength(5);
    expect(textsOf(root)).toEqual(expect.arrayContaining(["A", "B", "nothing holds", "one", "two"]));
  });

  test("flip map: of many picks the rarest share a colour", () => {
    const values = Array.from({ length: 20 }, (_, k) => k);
    const picks = [values.map((k) => `M${k}`), values.map((k) => `M${k % 10}`)];
    const texts = textsOf(
      draw(
        flipMapOption({ title: "t", picked: "p", x: { name: "x", values }, y: { name: "y", values: [1, 2] }, picks }),
      ),
    );
    expect(texts).toEqual(expect.arrayContaining(["M0", "M9", "others"]));
    expect(texts).not.toContain("M19");
  });

  test("surface: the stationary point lies on the scale of the runs, contours carry their values", () => {
    const root = drawn("surface");
    const all = everyElement(root).map(({ attributes }) => Number(attributes.get("data-series") ?? -1));
    const last = Math.max(...all);
    const [stationary] = marksOf(root, last).map(placeOf);
    const runs = marksOf(root, last - 1).map(placeOf);
    expect(runs).toHaveLength(2);
    expect(isLinear([2.6, 3.8, 3.3], [...xs(runs), stationary?.x ?? 0])).toBe(true);
    expect(isLinear([8, 22, 13], [...ys(runs), stationary?.y ?? 0])).toBe(true);
    expect(textsOf(root)).toEqual(expect.arrayContaining(["minimum", "26,000", "below 25,000", "run"]));
  });

  test("table: figures in their cells, the least framed, pairs without an order crossed out", () => {
    const root = drawn("table");
    const texts = everyElement(root).filter(({ tag }) => tag === "text");
    const placed = (text: string): Point => placeOf(texts.find((each) => each.text === text) ?? root);
    const [low, high] = [placed("29,900"), placed("27,350")];
    expect(Math.abs(low.x - high.x)).toBeLessThan(PIXEL);
    expect(high.y).toBeLessThan(low.y);
    expect(placed("28,700").x).toBeGreaterThan(low.x);
    const frame = everyElement(root).filter(
      ({ tag, attributes }) => tag === "polyline" && attributes.get("stroke-width") === "2.5",
    );
    const corners = polylineOf(frame[0] ?? root);
    const least = placed("25,480");
    expect(frame).toHaveLength(1);
    expect(Math.min(...xs(corners)) < least.x && least.x < Math.max(...xs(corners))).toBe(true);
    expect(Math.min(...ys(corners)) < least.y && least.y < Math.max(...ys(corners))).toBe(true);
    expect(textsOf(root).filter((text) => text === "no order")).toHaveLength(1);
  });
});

test.each([
  [
    [1, 2, 3],
    [10, 20, 33],
  ],
  [
    [1, 2, 3],
    [10, 20],
  ],
  [
    [1, 2],
    [10, 10],
  ],
  [
    [1, 2, 3],
    [10, Number.NaN, 30],
  ],
])("the check of scales can fail: %j at %j", (values, pixels) => {
  expect(isLinear(values, pixels)).toBe(false);
});
