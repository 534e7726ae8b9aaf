import type { LabelledPoint, Series } from "./chart-option.ts";
import { INK, PAPER } from "./palette.ts";
import { plainText } from "./plain-text.ts";

/** A point in the units of the axes. */
export type Place = readonly [x: number, y: number];

/** How a set of lines is drawn, and which axes they lie on where there are several. */
interface LineLook {
  readonly name?: string;
  readonly color: string;
  readonly width?: number;
  readonly dash?: "solid" | number[];
  readonly xAxis?: number;
  readonly yAxis?: number;
  /** Above 2: in front of curves and bars. */
  readonly level?: number;
}

/** Lines through given points that belong to no curve: error bars, borders, contours. */
export function strokes(lines: readonly (readonly Place[])[], look: LineLook): Series {
  return {
    type: "lines",
    ...(look.name === undefined ? {} : { name: plainText(look.name) }),
    coordinateSystem: "cartesian2d",
    polyline: true,
    silent: true,
    progressive: 0,
    ...onAxes(look),
    z: look.level ?? 3,
    lineStyle: { color: look.color, width: look.width ?? 1.5, type: look.dash ?? "solid", opacity: 1 },
    data: lines.map((line) => ({ coords: line.map(([x, y]) => [x, y]) })),
  };
}

/** A bar from low to high with a cap at either end, lying along x. */
export function whisker({ low, high }: { low: number; high: number }, at: number, cap: number): Place[][] {
  const end = (x: number): Place[] => [
    [x, at - cap],
    [x, at + cap],
  ];
  return [[[low, at] as const, [high, at] as const], end(low), end(high)];
}

interface LabelLook {
  readonly position: "left" | "right" | "top" | "bottom" | "inside" | "insideBottomLeft";
  readonly symbol?: string;
  readonly size?: number;
  readonly color?: string;
  readonly hollow?: boolean;
  readonly textColor?: string;
  readonly bold?: boolean;
  readonly name?: string;
  readonly yAxis?: number;
  readonly xAxis?: number;
  /** Where a label at the left or right stands beside its point; level with it if absent. */
  readonly lift?: "above" | "below";
  /** Longer labels end in dots [px]; 200 if absent. */
  readonly width?: number;
  /** Longer labels go on in a new line, up to four of them, instead [px]. */
  readonly lineWidth?: number;
  /** What to do with labels that would lie on each other: leave some out (as is), or move them apart. */
  readonly crowded?: "leave-out" | "shift";
}

/**
 * Points with texts. The texts are a dimension of the data, not templates: braces and dollar signs in them mean nothing.
 */
export function labelledPoints(points: readonly LabelledPoint[], look: LabelLook): Series {
  return {
    type: "scatter",
    ...(look.name === undefined ? {} : { name: plainText(look.name) }),
    dimensions: ["x", "y", { name: "label", type: "ordinal" }],
    encode: { x: 0, y: 1, label: 2 },
    data: points.map(({ x, y, label }) => [x, y, label === "" ? "" : plainText(label)]),
    progressive: 0,
    ...onAxes(look),
    z: 5,
    symbol: look.symbol ?? "circle",
    symbolSize: look.size ?? 9,
    itemStyle: pointStyle(look),
    label: labelStyle(look),
    labelLayout: look.crowded === "shift" ? { moveOverlap: "shiftY" } : { hideOverlap: true },
  };
}

function onAxes({ xAxis = 0, yAxis = 0 }: { readonly xAxis?: number; readonly yAxis?: number }) {
  return { xAxisIndex: xAxis, yAxisIndex: yAxis };
}

const FOUR_LINES = { overflow: "break" as const, lineHeight: 13, height: 52, lineOverflow: "truncate" as const };

function labelStyle(look: LabelLook) {
  return {
    show: true,
    position: look.position,
    color: look.textColor ?? INK,
    fontFamily: "sans-serif",
    fontSize: 12,
    fontWeight: look.bold ? ("bold" as const) : ("normal" as const),
    ...lifted(look.lift),
    width: look.lineWidth ?? look.width ?? 200,
    ...(look.lineWidth === undefined ? { overflow: "truncate" as const } : FOUR_LINES),
    textBorderColor: PAPER,
    textBorderWidth: 2,
  };
}

/** Clear of a line through the point. */
function lifted(lift: LabelLook["lift"]) {
  if (lift === undefined) return {};
  return lift === "above"
    ? { verticalAlign: "bottom" as const, padding: [0, 0, 4, 0] }
    : { verticalAlign: "top" as const, padding: [4, 0, 0, 0] };
}

function pointStyle({ color = INK, hollow, size = 9 }: LabelLook) {
  return hollow
    ? { color: PAPER, borderColor: color, borderWidth: 1.8, opacity: 1 }
    : { color, borderColor: PAPER, borderWidth: size < 9 ? 0 : 1, opacity: 1 };
}

/** A straight line across the whole chart with a text at its end; an empty one is none. */
export interface Guide {
  readonly at: number;
  readonly label: string;
  /** Where the label of an upright line stands. */
  readonly side?: "left" | "right";
}

interface GuideLook {
  readonly color: string;
  readonly dash?: number[];
  /** Which end of the lines the labels stand at. */
  readonly labels?: "start" | "end";
  /** Below 2: behind curves and bars. */
  readonly level?: number;
}

/**
 * Lines across the chart at given values, drawn with an own (empty) series.
 * Their labels are templates to the library, so braces become parentheses.
 */
export function guides(axis: "x" | "y", lines: readonly Guide[], look: GuideLook): Series {
  return {
    type: "scatter",
    data: [],
    silent: true,
    markLine: {
      silent: true,
      symbol: "none",
      animation: false,
      precision: 12,
      ...(look.level === undefined ? {} : { z: look.level }),
      lineStyle: { color: look.color, width: 1.5, type: look.dash ?? [6, 4] },
      label: {
        color: look.color,
        fontFamily: "sans-serif",
        fontSize: 12,
        position: look.labels ?? "end",
      },
      data: lines.map((line) => ({
        ...(axis === "x" ? { xAxis: line.at } : { yAxis: line.at }),
        label: guideLabel(line),
      })),
    },
  };
}

function guideLabel({ label, side }: Guide) {
  if (label === "") return { show: false };
  const formatter = plainText(label).replaceAll("{", "(").replaceAll("}", ")");
  return side === undefined
    ? { formatter }
    : { formatter, align: side === "left" ? ("right" as const) : ("left" as const), padding: [0, 4] };
}
