import type { GridComponentOption, LegendComponentOption, XAXisComponentOption, YAXisComponentOption } from "echarts";
import type { ChartOption, Heading } from "./chart-option.ts";
import { INK, PALE, PAPER, SOFT_INK } from "./palette.ts";
import { plainText } from "./plain-text.ts";

export type XAxis = XAXisComponentOption;
export type YAxis = YAXisComponentOption;

/** Least room for all columns of a chart with a legend at the right [px]. */
const COLUMNS_WIDTH = 390;

/** Widest label beside a horizontal bar [px]; longer ones end in dots. */
const LABEL_WIDTH = 190;

/**
 * A chart below its heading.
 *
 * @param summary - what is seen, in words, for those who do not see it
 * @param parts - grids, axes, legend and series
 */
export function framed(heading: Heading, summary: string, parts: Partial<ChartOption>): ChartOption {
  const title = plainText(heading.title);
  const note = heading.note === undefined ? {} : { subtext: plainText(heading.note) };
  return {
    animation: false,
    backgroundColor: PAPER,
    textStyle: { fontFamily: "sans-serif", color: INK },
    aria: { enabled: true, label: { description: `${title}. ${summary}` } },
    ...parts,
    title: [
      {
        text: title,
        ...note,
        left: 16,
        top: 12,
        itemGap: 6,
        textStyle: { fontFamily: "sans-serif", fontSize: 17, color: INK, width: 680, overflow: "truncate" },
        subtextStyle: { fontFamily: "sans-serif", fontSize: 12, color: SOFT_INK, width: 720, overflow: "truncate" },
      },
    ],
  };
}

/** A chart without anything to draw: its heading, and that there is nothing. */
export function nothingToShow(heading: Heading): ChartOption {
  const empty = framed(heading, "There is nothing to show.", {});
  const textStyle = { fontFamily: "sans-serif", fontSize: 15, fontWeight: "normal" as const, color: SOFT_INK };
  return { ...empty, title: [empty.title[0], { text: "nothing to show", left: "center", top: "middle", textStyle }] };
}

/** Room between the heading and the edges for axes with their names; `below` and `right` are kept for legends. */
export function room(below = 0, right = 0): GridComponentOption {
  return {
    left: 20,
    right: 28 + right,
    top: 78,
    bottom: 16 + below,
    outerBoundsMode: "same",
    outerBoundsContain: "all",
    show: false,
  };
}

const AXIS_TEXT = { fontFamily: "sans-serif", fontSize: 12, color: INK };

const AXIS_LOOK = {
  nameLocation: "middle" as const,
  nameTextStyle: { ...AXIS_TEXT, fontSize: 13 },
  nameTruncate: { maxWidth: 340, ellipsis: "…" },
  axisLine: { show: true, lineStyle: { color: SOFT_INK }, onZero: false },
  axisTick: { show: true, lineStyle: { color: SOFT_INK } },
  splitLine: { show: true, lineStyle: { color: PALE } },
  axisLabel: AXIS_TEXT,
};

/** An axis of numbers; not from 0 unless the numbers go there. */
export function valueAxis(name: string) {
  return { ...AXIS_LOOK, type: "value" as const, scale: true, name: plainText(name) };
}

/** An axis of numbers that starts or ends at 0, for bars. */
export function barAxis(name: string) {
  return { ...AXIS_LOOK, type: "value" as const, name: plainText(name) };
}

/** The axis below columns: labels as wide as there is room, longer ones end in dots. */
export function columnNames(names: readonly string[], name: string) {
  const axis = nameAxis(names, name);
  return { ...axis, axisLabel: { ...axis.axisLabel, width: Math.min(LABEL_WIDTH, COLUMNS_WIDTH / names.length) } };
}

/** An axis of names. */
export function nameAxis(names: readonly string[], name?: string) {
  return {
    ...AXIS_LOOK,
    type: "category" as const,
    ...(name === undefined ? {} : { name: plainText(name) }),
    data: names.map(plainText),
    axisTick: { show: false },
    splitLine: { show: false },
    axisLabel: { ...AXIS_TEXT, interval: 0, width: LABEL_WIDTH, overflow: "truncate" as const },
  };
}

/** The axis beside horizontal bars, the first name at the top. */
export function barNames(names: readonly string[]) {
  return { ...nameAxis(names), inverse: true };
}

/** Places between the names of an axis: the k-th name lies at k, its half of the room on either side. */
export function placeAxis(count: number) {
  return { type: "value" as const, min: -0.5, max: count - 0.5, show: false };
}

/** A legend below the chart. */
export function legendBelow(names: readonly string[]): LegendComponentOption {
  return { ...LEGEND_LOOK, data: names.map(plainText), bottom: 10, left: "center", orient: "horizontal" };
}

/** Width kept for a legend at the right [px]. */
export const LEGEND_WIDTH = 190;

/** A legend at the right for signs and shades, which keep their shape. */
export function signLegend(names: readonly string[]): LegendComponentOption {
  return { ...legendRight(names), itemWidth: 13, itemHeight: 13 };
}

/** Name of a series, and a sign for it where the library's own would mislead. */
type LegendEntry = string | { readonly name: string; readonly icon: string };

/** A legend at the right for lines, one name a line. */
export function legendRight(names: readonly LegendEntry[]): LegendComponentOption {
  const textStyle = { ...AXIS_TEXT, width: LEGEND_WIDTH - 50, overflow: "truncate" as const };
  return { ...LEGEND_LOOK, data: names.map(entryOf), right: 16, top: 78, orient: "vertical", textStyle };
}

const LEGEND_LOOK = { show: true, itemWidth: 26, itemHeight: 11, itemGap: 10, textStyle: AXIS_TEXT };

function entryOf(entry: LegendEntry) {
  return typeof entry === "string" ? plainText(entry) : { name: plainText(entry.name), icon: entry.icon };
}
