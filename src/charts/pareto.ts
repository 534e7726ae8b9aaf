import { scaledAxis } from "./axes.ts";
import type { ChartOption, Heading, LabelledPoint, Series } from "./chart-option.ts";
import { framed, nothingToShow, room } from "./frame.ts";
import { legendBelow } from "./legends.ts";
import { labelledPoints } from "./marks.ts";
import { BLUE, SOFT_INK } from "./palette.ts";
import { counted } from "./plain-text.ts";
import { rangeOf, widened } from "./ticks.ts";

/** Points judged by two responses. */
export interface ParetoData extends Heading {
  readonly x: ParetoAxis;
  readonly y: ParetoAxis;
  /** `front`: no other point is as good in both and better in one. An empty label is none. */
  readonly points: readonly (LabelledPoint & { readonly front: boolean })[];
}

interface ParetoAxis {
  /** With its unit. */
  readonly name: string;
  readonly better: "low" | "high";
}

const FRONT = "not beaten";
const BEATEN = "beaten";

/** Points with the front joined as a staircase: on the worse side of it everything is beaten by a point of the front. */
export function paretoOption(data: ParetoData): ChartOption {
  const points = data.points.filter(({ x, y }) => Number.isFinite(x) && Number.isFinite(y));
  if (points.length === 0) return nothingToShow(data);
  const front = points.filter((point) => point.front).toSorted((a, b) => a.x - b.x || a.y - b.y);
  // Nothing lies on the better side of the front: there is room for labels.
  const toLow = { x: data.x.better === "low", y: data.y.better === "low" };
  const beaten = points.filter((point) => !point.front);
  const summary = `${counted(points.length, "point")} of ${data.x.name} (better: ${data.x.better}) and ${data.y.name} (better: ${data.y.better}); ${front.length} of them not beaten.`;
  return framed(data, summary, {
    grid: room(30),
    legend: legendBelow([FRONT, BEATEN]),
    xAxis: axis(
      data.x,
      points.map(({ x }) => x),
    ),
    yAxis: axis(
      data.y,
      points.map(({ y }) => y),
    ),
    series: [
      staircase(front, data.x),
      labelledPoints(
        beaten.map(({ x, y }) => ({ x, y, label: "" })),
        { position: "right", name: BEATEN, color: SOFT_INK, hollow: true, size: 8 },
      ),
      labelledPoints(front, {
        position: toLow.x ? "left" : "right",
        lift: toLow.y ? "below" : "above",
        width: 85,
        name: FRONT,
        color: BLUE,
        size: 11,
      }),
    ],
  });
}

function staircase(front: readonly LabelledPoint[], { better }: ParetoAxis): Series {
  return {
    type: "line",
    name: FRONT,
    // Going right, the second response changes where the next point is reached, or before it.
    step: better === "low" ? "end" : "start",
    symbol: "none",
    lineStyle: { color: BLUE, width: 2 },
    itemStyle: { color: BLUE },
    data: front.map(({ x, y }) => [x, y]),
  };
}

/** A scale with room for labels on the better side. */
function axis({ name, better }: ParetoAxis, values: readonly number[]) {
  const range = rangeOf(values) ?? { low: 0, high: 1 };
  return scaledAxis(name, { ...widened(range, better === "low" ? [0.18, 0.05] : [0.05, 0.18]) });
}
