import { describe, expect, test } from "vitest";
import type { ChartOption } from "../../src/charts/chart-option.ts";
import { effectsBarsOption } from "../../src/charts/effects-bars.ts";
import { predictedObservedOption, residualsOption } from "../../src/charts/fit-plots.ts";
import { flipMapOption } from "../../src/charts/flip-map.ts";
import { frontierStepsOption } from "../../src/charts/frontier-steps.ts";
import { halfNormalOption } from "../../src/charts/half-normal.ts";
import { interactionLinesOption } from "../../src/charts/interaction-lines.ts";
import { mainEffectsOption } from "../../src/charts/main-effects.ts";
import { paretoOption } from "../../src/charts/pareto.ts";
import { partTableOption } from "../../src/charts/part-table.ts";
import { ratioCostsOption } from "../../src/charts/ratio-costs.ts";
import { ratioCurvesOption } from "../../src/charts/ratio-curves.ts";
import { renderSvg } from "../../src/charts/render-svg.ts";
import { responseSurfaceOption } from "../../src/charts/response-surface.ts";
import { robustnessBarsOption } from "../../src/charts/robustness-bars.ts";
import { sobolBarsOption } from "../../src/charts/sobol-bars.ts";
import { sampleCharts } from "./sample-charts.ts";
import { everyElement, placeOf, readSvg, type SvgElement, textsOf } from "./svg-tree.ts";

const SIZE = { width: 800, height: 500 };
const draw = (option: ChartOption): string => renderSvg(option, SIZE);
const SAMPLES = Object.entries(sampleCharts());
const DRAWN = new Map(SAMPLES.map(([name, option]) => [name, draw(option)]));
const drawn = (name: string): string => DRAWN.get(name) ?? "";

const SAFE_TAGS = [
  "svg",
  "title",
  "rect",
  "path",
  "polyline",
  "polygon",
  "text",
  "g",
  "defs",
  "clipPath",
  "linearGradient",
  "stop",
  "circle",
];

/** What a picture must not hold: scripts, handlers, styles of a page, references to anything but its own marks. */
function unsafe(root: SvgElement): string[] {
  const elements = everyElement(root);
  const ids = new Set(elements.map(({ attributes }) => attributes.get("id")));
  const strange = elements.filter(({ tag }) => !SAFE_TAGS.includes(tag)).map(({ tag }) => `<${tag}>`);
  const bad = elements.flatMap(({ attributes }) =>
    [...attributes].filter(([name, value]) => {
      if (/^on/iu.test(name) || /href$/iu.test(name) || name === "class") return true;
      const reference = /url\(([^)]*)\)/u.exec(value)?.[1];
      if (reference !== undefined && !name.startsWith("aria-")) return !ids.has(reference.replace(/^#/u, ""));
      return name !== "xmlns" && !name.startsWith("aria-") && /[a-z]:\/\/|javascript:|data:/iu.test(value);
    }),
  );
  return [...strange, ...bad.map(([name, value]) => `${name}="${value}"`)];
}

describe.each(SAMPLES)("the chart %s", (name, option) => {
  test("is a well-formed picture on its own, with a title and a description", () => {
    const root = readSvg(drawn(name));
    expect(root.tag).toBe("svg");
    expect(root.attributes.get("xmlns")).toBe("http://www.w3.org/2000/svg");
    expect(root.attributes.get("role")).toBe("img");
    expect(root.children[0]).toMatchObject({ tag: "title", text: "Sample" });
    expect(root.attributes.get("aria-label")).toMatch(/^Sample\. .{20,}\.$/u);
    expect(unsafe(root)).toEqual([]);
    expect(everyElement(root).length).toBeGreaterThan(20);
  });

  test("is plain data, and drawing leaves it as it was", () => {
    const text = JSON.stringify(option);
    expect(JSON.parse(text)).toEqual(option);
    expect(draw(option)).toBe(drawn(name));
    expect(JSON.stringify(option)).toBe(text);
  });

  test("uses generic fonts only", () => {
    const fonts = new Set(drawn(name).match(/font-family:[^;"]*/gu));
    expect([...fonts]).toEqual(["font-family:sans-serif"]);
  });
});

test("the same charts are the same bytes, whatever was drawn before", () => {
  const first = [...DRAWN.values()];
  const backwards = Object.values(sampleCharts()).toReversed().map(draw);
  expect(backwards.toReversed()).toEqual(first);
  expect(new Set(first).size).toBe(SAMPLES.length);
});

test("no id of one picture is an id of another, so that all fit on one page", () => {
  const ids = [...DRAWN.values()].flatMap((svg) => [...svg.matchAll(/ id="([^"]*)"/gu)].map(([, id]) => id));
  expect(ids.length).toBeGreaterThan(SAMPLES.length);
  expect(new Set(ids).size).toBe(ids.length);
});

describe("texts of the user", () => {
  const HOSTILE = [
    `<script>alert(1)</script>`,
    `"&'><g onload="x">]]><style>`,
    `&lt;b&gt; &amp; &#0;`,
    `{b} {c} {a|x} $& $1 url(#zr0-c0) zr1-cls-2`,
  ];

  test.each(HOSTILE)("%j is text and nothing else in every chart", (hostile) => {
    const charts = Object.values(sampleCharts((plain) => `${plain} ${hostile}`));
    expect(charts).toHaveLength(SAMPLES.length);
    for (const option of charts) {
      const root = readSvg(draw(option));
      expect(unsafe(root)).toEqual([]);
      expect(root.children[0]?.text).toBe(`Sample ${hostile}`);
      expect(root.attributes.get("aria-label")).toContain(hostile);
    }
  });

  test("braces and dollar signs are no templates", () => {
    const label = "$& {b} {c0}";
    const texts = textsOf(
      readSvg(
        draw(
          paretoOption({
            title: "{a}",
            x: { name: "{value}", better: "low" },
            y: { name: "y", better: "low" },
            points: [{ x: 1, y: 2, label, front: true }],
          }),
        ),
      ),
    );
    expect(texts).toEqual(expect.arrayContaining([label, "{a}", "{value}"]));
  });

  test("what XML cannot hold, line breaks and marks that reverse text are replaced", () => {
    const odd = "\u0000\u0007\u202E\uD800\n\tx\uFFFE";
    for (const option of Object.values(sampleCharts((plain) => plain + odd))) {
      const svg = draw(option);
      expect(Array.from(odd).filter((letter) => !/\s|x/u.test(letter) && svg.includes(letter))).toEqual([]);
      expect(readSvg(svg).children[0]?.text).toBe("Sample???? x?");
    }
  });

  test("empty ones leave a mark", () => {
    for (const [, option] of Object.entries(sampleCharts(() => " "))) {
      expect(readSvg(draw(option)).children[0]?.text).toBe("–");
    }
  });
});

/** Texts that would leave the picture; letters are taken as half their size wide, bold ones as a little more. */
function clipped(root: SvgElement): string[] {
  return everyElement(root).flatMap((element) => {
    if (element.tag !== "text") return [];
    const { attributes, text } = element;
    const size = Number(/font-size:(\d+)px/u.exec(attributes.get("style") ?? "")?.[1]);
    const width = text.length * size * 0.48;
    const { x, y } = placeOf(element);
    const upright = (attributes.get("transform") ?? "").startsWith("matrix(0");
    const [along, most] = upright ? [SIZE.height - y, SIZE.height] : [x, SIZE.width];
    const start = { start: 0, middle: -width / 2, end: -width }[attributes.get("text-anchor") ?? "start"] ?? 0;
    return along + start < -2 || along + start + width > most + 2 || y < 0 || y > SIZE.height ? [text] : [];
  });
}

test("long texts are cut before they leave the picture", () => {
  const long = sampleCharts((plain) => `${plain} ${"and more of the same ".repeat(12)}`);
  const svgs = [...Object.values(long).map(draw), ...DRAWN.values()];
  const cut = svgs.flatMap((svg) => clipped(readSvg(svg)));
  expect(svgs).toHaveLength(2 * SAMPLES.length);
  expect(cut).toEqual([]);
});

test("the check of cut texts can fail", () => {
  const text = `<text style="font-size:12px" text-anchor="end" transform="translate(20 40)">much too long</text>`;
  expect(clipped(readSvg(`<svg>${text}</svg>`))).toEqual(["much too long"]);
});

describe("nothing, one thing, or figures that are none", () => {
  const axis = { name: "x", better: "low" as const };
  const level = { name: "f", levels: [] };
  const estimate = { value: 0, low: 0, high: 0 };
  const title = { title: "t" };
  const empty: Record<string, ChartOption> = {
    effects: effectsBarsOption({ ...title, quantity: "q", effects: [], limits: [] }),
    "half-normal": halfNormalOption({ ...title, quantity: "q", effects: [] }),
    "main-effects": mainEffectsOption({ ...title, response: "r", factors: [] }),
    interaction: interactionLinesOption({ ...title, response: "r", factor: level, other: level, means: [] }),
    surface: responseSurfaceOption({
      ...title,
      response: "r",
      x: { name: "x", values: [] },
      y: { name: "y", values: [] },
      values: [],
    }),
    flip: flipMapOption({
      ...title,
      picked: "p",
      x: { name: "x", values: [] },
      y: { name: "y", values: [] },
      picks: [],
    }),
    pareto: paretoOption({ ...title, x: axis, y: axis, points: [] }),
    frontier: frontierStepsOption({ ...title, cost: "c", counted: "n", points: [] }),
    table: partTableOption({ ...title, value: "v", columns: level, rows: level, cells: [] }),
    ratios: ratioCurvesOption({ ...title, curves: [], windows: [], catalogue: [] }),
    "ratio-costs": ratioCostsOption({ ...title, price: "p", motors: [{ name: "m", picks: [] }] }),
    sobol: sobolBarsOption({ ...title, indices: [] }),
    robustness: robustnessBarsOption({ ...title, picks: [] }),
    predicted: predictedObservedOption({ ...title, response: "r", points: [] }),
    residuals: residualsOption({ ...title, along: "a", residual: "r", points: [] }),
  };

  test("every chart of nothing says so", () => {
    expect(Object.keys(empty)).toEqual(Object.keys(sampleCharts()));
    const texts = Object.entries(empty).map(([name, option]) => [name, textsOf(readSvg(draw(option)))]);
    expect(texts).toEqual(Object.keys(empty).map((name) => [name, ["t", "nothing to show"]]));
  });

  const one: Record<string, ChartOption> = {
    effects: effectsBarsOption({ ...title, quantity: "q", effects: [{ name: "a", value: 0 }], limits: [] }),
    "half-normal": halfNormalOption({
      ...title,
      quantity: "q",
      effects: [{ name: "a", size: 0, score: 0, active: true }],
    }),
    "main-effects": mainEffectsOption({
      ...title,
      response: "r",
      factors: [{ name: "f", levels: [{ name: "a", mean: 0 }] }],
    }),
    interaction: interactionLinesOption({
      ...title,
      response: "r",
      factor: { name: "f", levels: ["a"] },
      other: { name: "g", levels: ["a"] },
      means: [[0]],
    }),
    surface: responseSurfaceOption({
      ...title,
      response: "r",
      x: { name: "x", values: [2] },
      y: { name: "y", values: [3] },
      values: [[7]],
      stationary: { x: 2, y: 3, kind: "a" },
    }),
    flip: flipMapOption({
      ...title,
      picked: "p",
      x: { name: "x", values: [2] },
      y: { name: "y", values: ["a"] },
      picks: [["a"]],
    }),
    pareto: paretoOption({ ...title, x: axis, y: axis, points: [{ x: 0, y: 0, label: "a", front: true }] }),
    frontier: frontierStepsOption({ ...title, cost: "c", counted: "n", points: [{ count: 1, cost: 0, change: "a" }] }),
    table: partTableOption({
      ...title,
      value: "v",
      columns: { name: "f", levels: ["a"] },
      rows: { name: "g", levels: ["a"] },
      cells: [[0]],
    }),
    ratios: ratioCurvesOption({
      ...title,
      curves: [{ name: "a", points: [{ ratio: 3, utilisation: 0.9 }] }],
      windows: [],
      catalogue: [3],
    }),
    "ratio-costs": ratioCostsOption({
      ...title,
      price: "p",
      motors: [{ name: "m", picks: [{ ratio: 1, price: 0, energy: 0, passes: true }] }],
    }),
    sobol: sobolBarsOption({ ...title, indices: [{ name: "a", first: estimate, total: estimate }] }),
    robustness: robustnessBarsOption({ ...title, picks: [{ name: "a", held: 0, runs: 1, share: estimate }] }),
    predicted: predictedObservedOption({
      ...title,
      response: "r",
      points: [{ observed: 0, predicted: 0, label: "a" }],
    }),
    residuals: residualsOption({ ...title, along: "a", residual: "r", points: [{ x: 0, y: 0, label: "a" }] }),
  };

  test("every chart of one thing is drawn, with numbers for places", () => {
    expect(Object.keys(one)).toEqual(Object.keys(empty));
    const svgs = Object.entries(one).map(([name, option]) => ({ name, svg: draw(option) }));
    expect(svgs.filter(({ svg }) => /NaN|Infinity|undefined|nothing to show/u.test(svg))).toEqual([]);
    expect(svgs.filter(({ svg }) => textsOf(readSvg(svg)).length < 3)).toEqual([]);
  });

  test("figures that are no numbers are left out", () => {
    const points = [Number.NaN, Number.POSITIVE_INFINITY, 1, 2].map((x) => ({
      x,
      y: x,
      label: String(x),
      front: true,
    }));
    const texts = textsOf(readSvg(draw(paretoOption({ ...title, x: axis, y: axis, points }))));
    expect(texts).toEqual(expect.arrayContaining(["1", "2"]));
    expect(texts).not.toContain("NaN");
    expect(texts).not.toContain("Infinity");
  });
});

describe("the strict reader of pictures", () => {
  test.each([
    ["<svg><g></svg></g>"],
    ["<svg>"],
    ["<svg></svg><svg></svg>"],
    ["<svg>a & b</svg>"],
    ["<svg>&nbsp;</svg>"],
    [`<svg a="1" a="2"></svg>`],
    [`<svg a=1></svg>`],
    [`<svg a="<"></svg>`],
    ["<svg>\u0001</svg>"],
    ["<svg><![CDATA[x]]></svg>"],
    ["text"],
  ])("refuses %j", (text) => {
    expect(() => readSvg(text)).toThrow(/./u);
  });

  test("finds what must not be there", () => {
    const root = readSvg(
      `<svg><script>x</script><g onclick="x" fill="url(#a)" style="background:url(http://a)"/></svg>`,
    );
    expect(unsafe(root)).toHaveLength(4);
  });
});
