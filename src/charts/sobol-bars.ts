import { barAxis, barNames, placeAxis } from "./axes.ts";
import type { ChartOption, Estimate, Heading, Series } from "./chart-option.ts";
import { framed, nothingToShow, room } from "./frame.ts";
import { legendBelow } from "./legends.ts";
import { strokes, whisker } from "./marks.ts";
import { BLUE, INK, STEPS } from "./palette.ts";
import { counted, numberText, plainText } from "./plain-text.ts";
import { rangeOf, roundEnds } from "./ticks.ts";

/** Shares of a response's variance by the factor that causes it. */
export interface SobolData extends Heading {
  readonly indices: readonly SobolIndices[];
}

interface SobolIndices {
  readonly name: string;
  /** Alone. */
  readonly first: Estimate;
  /** With all interactions it takes part in. */
  readonly total: Estimate;
}

/** Share of a name's room that one of its two bars takes. */
const BAR = 0.36;
const FIRST = "alone (first order)";
const TOTAL = "with interactions (total)";

/**
 * Bars of first-order and total indices with their intervals, largest total at the top.
 *
 * Source: I. M. Sobol, Mathematics and Computers in Simulation 55 (2001), 271–280.
 */
export function sobolBarsOption(data: SobolData): ChartOption {
  const indices = data.indices.toSorted((a, b) => b.total.value - a.total.value);
  const [largest] = indices;
  if (largest === undefined) return nothingToShow(data);
  const summary = `First-order and total indices of ${counted(indices.length, "factor")}; largest: ${plainText(largest.name)}, total ${numberText(largest.total.value)}.`;
  const first = indices.map((each) => each.first);
  const total = indices.map((each) => each.total);
  const range = rangeOf([0, ...[...first, ...total].flatMap(({ value, low, high }) => [value, low, high])]);
  const ends = range === undefined ? {} : roundEnds(range.low, range.high);
  return framed(data, summary, {
    grid: room(30),
    legend: legendBelow([FIRST, TOTAL]),
    xAxis: { ...barAxis("share of variance"), ...ends },
    yAxis: [barNames(indices.map(({ name }) => name)), { ...placeAxis(indices.length), inverse: true }],
    series: [
      bars(FIRST, first, BLUE),
      bars(TOTAL, total, STEPS[3] ?? BLUE),
      strokes([...intervals(first, -BAR / 2), ...intervals(total, BAR / 2)], { color: INK, yAxis: 1 }),
    ],
  });
}

function bars(name: string, estimates: readonly Estimate[], color: string): Series {
  return {
    type: "bar",
    name,
    barWidth: `${BAR * 100}%`,
    barGap: "0%",
    itemStyle: { color, borderColor: INK, borderWidth: 0.8 },
    data: estimates.map(({ value }) => value),
  };
}

function intervals(estimates: readonly Estimate[], offset: number) {
  return estimates.flatMap((estimate, k) => whisker(estimate, k + offset, 0.08));
}
