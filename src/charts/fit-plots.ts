import { scaledAxis, valueAxis } from "./axes.ts";
import type { ChartOption, Heading, LabelledPoint } from "./chart-option.ts";
import { framed, nothingToShow, room } from "./frame.ts";
import { guides, labelledPoints, strokes } from "./marks.ts";
import { BLUE, INK, SOFT_INK, VERMILLION } from "./palette.ts";
import { counted, numberText } from "./plain-text.ts";
import { rangeOf, widened } from "./ticks.ts";

/** What a model says against what the runs gave. */
export interface PredictedData extends Heading {
  /** The response, with its unit: `cost [EUR]`. */
  readonly response: string;
  /** An empty label is none. */
  readonly points: readonly { readonly observed: number; readonly predicted: number; readonly label: string }[];
}

/** Predicted over observed on equal scales, with the line on which they agree. */
export function predictedObservedOption(data: PredictedData): ChartOption {
  const range = rangeOf(data.points.flatMap(({ observed, predicted }) => [observed, predicted]));
  if (range === undefined) return nothingToShow(data);
  const { min, max } = widened(range, [0.06, 0.06]);
  const points = data.points
    .map(({ observed, predicted, label }) => ({ x: observed, y: predicted, label }))
    .filter(({ x, y }) => Number.isFinite(x) && Number.isFinite(y));
  const worst = points.reduce((most, { x, y }) => Math.max(most, Math.abs(x - y)), 0);
  const summary = `Predicted against observed ${data.response} of ${counted(points.length, "run")}; furthest apart by ${numberText(worst)}.`;
  return framed(data, summary, {
    grid: room(),
    xAxis: scaledAxis(`observed ${data.response}`, { min, max }),
    yAxis: scaledAxis(`predicted ${data.response}`, { min, max }),
    series: [
      strokes([[[min, min] as const, [max, max] as const]], { color: SOFT_INK, dash: [6, 4], level: 2 }),
      // Labels stand away from the line.
      labelledPoints(
        points.filter(({ x, y }) => y >= x),
        { position: "left", color: BLUE, size: 9 },
      ),
      labelledPoints(
        points.filter(({ x, y }) => y < x),
        { position: "right", color: BLUE, size: 9 },
      ),
    ],
  });
}

/** What a model leaves unexplained. */
export interface ResidualsData extends Heading {
  /** Along x: `predicted cost [EUR]`, `run`. */
  readonly along: string;
  /** `studentised residual`, or the response with its unit. */
  readonly residual: string;
  /** y is the residual; an empty label is none. */
  readonly points: readonly LabelledPoint[];
  /** Size beyond which a residual is suspicious; above 0. */
  readonly limit?: number;
}

/** Residuals about 0, those beyond the limit marked and named. */
export function residualsOption(data: ResidualsData): ChartOption {
  const points = data.points.filter(({ x, y }) => Number.isFinite(x) && Number.isFinite(y));
  if (points.length === 0) return nothingToShow(data);
  const { limit } = data;
  const isFar = ({ y }: LabelledPoint): boolean => limit !== undefined && Math.abs(y) > limit;
  const far = points.filter(isFar);
  const lines = limit === undefined ? [] : [limit, -limit].map((at) => ({ at, label: "limit" }));
  const reach = 1.15 * Math.max(limit ?? 0, ...points.map(({ y }) => Math.abs(y))) || 1;
  const summary = `Residuals of ${counted(points.length, "run")} over ${data.along}; ${far.length} beyond the limit.`;
  return framed(data, summary, {
    grid: room(0, 20),
    xAxis: { ...valueAxis(data.along), splitLine: { show: false } },
    yAxis: scaledAxis(data.residual, { min: -reach, max: reach }),
    series: [
      guides("y", [{ at: 0, label: "" }], { color: INK, dash: [1, 0] }),
      guides("y", lines, { color: SOFT_INK }),
      labelledPoints(
        points.filter((point) => !isFar(point)).map(({ x, y }) => ({ x, y, label: "" })),
        { position: "right", color: BLUE, size: 9 },
      ),
      labelledPoints(far, { position: "right", color: VERMILLION, symbol: "diamond", size: 13, crowded: "shift" }),
    ],
  });
}
