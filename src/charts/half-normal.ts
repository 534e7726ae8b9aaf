import { valueAxis } from "./axes.ts";
import type { ChartOption, Heading } from "./chart-option.ts";
import { framed, nothingToShow, room } from "./frame.ts";
import { labelledPoints, strokes } from "./marks.ts";
import { SOFT_INK, VERMILLION } from "./palette.ts";
import { counted, plainText } from "./plain-text.ts";

/** Sizes of effects against what chance alone would show. */
export interface HalfNormalData extends Heading {
  /** What is measured, with its unit: `size of effect on cost [EUR]`. */
  readonly quantity: string;
  readonly effects: readonly HalfNormalPoint[];
  /** Rise of the line on which effects lie that are chance alone: their standard error. */
  readonly slope?: number;
}

interface HalfNormalPoint {
  readonly name: string;
  /** |effect|. */
  readonly size: number;
  /** Half-normal score of its rank. */
  readonly score: number;
  readonly active: boolean;
}

/**
 * Half-normal plot; what stands out from the line is named.
 *
 * Source: C. Daniel, Technometrics 1 (1959), 311–341.
 */
export function halfNormalOption(data: HalfNormalData): ChartOption {
  const points = data.effects.filter(({ size, score }) => Number.isFinite(size) && Number.isFinite(score));
  if (points.length === 0) return nothingToShow(data);
  const active = points.filter((point) => point.active);
  const named = active.map(({ name }) => plainText(name)).join(", ");
  const summary = `Half-normal plot of ${counted(points.length, "effect")}; ${active.length} stand out${named === "" ? "" : `: ${named}`}.`;
  const furthest = points.reduce((most, { score }) => Math.max(most, score), 0);
  const end = furthest * 1.08 || 1;
  const line = data.slope === undefined ? [] : [[[0, 0] as const, [end, end * data.slope] as const]];
  return framed(data, summary, {
    grid: room(),
    xAxis: { ...valueAxis("half-normal score"), min: 0 },
    yAxis: { ...valueAxis(data.quantity), min: 0 },
    series: [
      strokes(line, { color: SOFT_INK, dash: [6, 4], level: 2 }),
      labelledPoints(
        points.filter((point) => !point.active).map(({ score, size }) => ({ x: score, y: size, label: "" })),
        { position: "left", color: SOFT_INK, hollow: true },
      ),
      labelledPoints(
        active.map(({ name, score, size }) => ({ x: score, y: size, label: name })),
        { position: "left", color: VERMILLION, symbol: "diamond", size: 13, crowded: "shift" },
      ),
    ],
  });
}
