import { expect, test } from "vitest";
import { drawCharts } from "../../src/charts/draw-charts.ts";
import { frontierFile } from "../../src/frontier-file.ts";
import type { FrontierDocument, FrontierOptions, FrontierPoint } from "../../src/machine/frontier.ts";
import { frontierCharts } from "../../src/pictures/frontier-charts.ts";
import { everyElement, marksOf, readSvg, type SvgElement, textsOf } from "../charts/svg-tree.ts";
import { problemPath } from "../result/run-file.ts";

async function frontierOf(options: Partial<FrontierOptions>): Promise<FrontierDocument> {
  const swept = await frontierFile(problemPath("drum-feeder-imperial"), {
    engine: "simplex",
    timeLimit: Number.POSITIVE_INFINITY,
    now: () => performance.now() / 1000,
    aborted: () => false,
    progress: () => undefined,
    by: "gearboxes",
    withoutVariety: false,
    ...options,
  });
  if (!swept.ok) throw new Error(JSON.stringify(swept.faults));
  return swept.value;
}

const NOTHING = readSvg('<svg xmlns="http://www.w3.org/2000/svg"></svg>');

function whole(value: number): string {
  return new Intl.NumberFormat("en-US", { maximumFractionDigits: 0 }).format(value);
}

const oneWay = await frontierOf({});
const twoWay = await frontierOf({ and: "makers" });

async function drawn(doc: FrontierDocument): Promise<readonly { name: string; svg: string; root: SvgElement }[]> {
  const charts = await drawCharts(frontierCharts(doc));
  return charts.map(({ name, svg }) => ({ name, svg, root: readSvg(svg) }));
}

/** A frontier of three, two and one with the given last point. */
function withLast(last: Partial<FrontierPoint>): FrontierDocument {
  const [best, next] = oneWay.points;
  if (best?.distinct == null || next === undefined) throw new Error("no points");
  const more = { ...best, distinct: { ...best.distinct, gearboxes: 3 } };
  const none = { objective: null, bound: null, gap: null, distinct: null, parts: [], changes: null };
  return { ...oneWay, points: [more, { ...best, cap: 1, changes: next.changes }, { ...next, ...none, ...last }] };
}

test.each([
  ["steps", oneWay],
  ["table", twoWay],
] as const)("the picture of %s has no figure that is none, and is drawn the same twice", async (name, doc) => {
  const [picture, ...more] = await drawn(doc);
  expect(more).toEqual([]);
  expect(picture?.name).toBe(name);
  expect(picture?.svg).not.toMatch(/NaN|undefined|Infinity/u);
  expect(JSON.stringify(frontierCharts(doc))).not.toMatch(/NaN|Infinity/u);
  expect((await drawn(doc))[0]?.svg).toBe(picture?.svg);
});

/** The same orders with something charged for variety. */
const charged: FrontierDocument = {
  ...oneWay,
  points: oneWay.points.map((point, index) => ({
    ...point,
    objective:
      point.objective === null
        ? null
        : { ...point.objective, terms: { ...point.objective.terms, variety: 40 - 10 * index } },
  })),
};

test("steps: a point and its cost for each order, with and without the charges for variety", async () => {
  const orders = charged.points.filter(({ objective }) => objective !== null);
  expect(orders.length).toBeGreaterThan(1);
  const root = (await drawn(charged))[0]?.root ?? NOTHING;
  expect(marksOf(root, 2)).toHaveLength(orders.length);
  const texts = textsOf(root);
  for (const { objective } of orders) {
    const total = objective?.total ?? Number.NaN;
    expect(texts).toContain(whole(total));
    expect(texts).toContain(whole(total - (objective?.terms.variety ?? Number.NaN)));
  }
  expect(texts).toContain("the same without its charges for variety");
});

test("steps: without charges for variety there is one line, and what changes is said by part numbers", async () => {
  const words = textsOf((await drawn(oneWay))[0]?.root ?? NOTHING).join(" ");
  expect(words).not.toContain("charges for variety");
  expect(words).toContain("without PE60-7");
});

/** How many counts are crossed out. */
async function crosses(last: Partial<FrontierPoint>): Promise<number> {
  const [picture] = await drawn(withLast({ cap: 0, ...last }));
  return textsOf(picture?.root ?? NOTHING).filter((text) => text === "no order").length;
}

test("steps: what cannot be is crossed out, what was not found is left out", async () => {
  expect(await crosses({ status: "infeasible", reason: "nothing passes" })).toBe(1);
  expect(await crosses({ status: "unknown" })).toBe(0);
});

test("table: a cell for every pair of counts, the cheapest order of each in it", async () => {
  const [picture] = await drawn(twoWay);
  const root = picture?.root ?? NOTHING;
  const costs = new Set(
    twoWay.points.flatMap(({ objective }) => (objective === null ? [] : [Math.round(objective.total)])),
  );
  const figures = new Set(textsOf(root).map((text) => Number(text.replaceAll(",", ""))));
  expect([...costs].filter((cost) => !figures.has(cost))).toEqual([]);
  expect(everyElement(root).length).toBeGreaterThan(20);
  const unknown = {
    ...twoWay,
    points: twoWay.points.map((point) => ({
      ...point,
      objective: null,
      distinct: null,
      status: "unknown" as const,
      cap: 1,
      and_cap: 1,
    })),
  };
  const [open] = await drawn(unknown);
  expect(textsOf(open?.root ?? root)).toContain("?");
  const stopped = { ...twoWay, points: twoWay.points.map((point) => ({ ...point, status: "feasible" as const })) };
  expect(
    textsOf((await drawn(stopped))[0]?.root ?? NOTHING).filter((text) => text.endsWith("~")).length,
  ).toBeGreaterThan(1);
  expect(textsOf(open?.root ?? root)).not.toContain("no order");
});
