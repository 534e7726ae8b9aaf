import type { LegendComponentOption } from "echarts";
import { INK } from "./palette.ts";
import { plainText } from "./plain-text.ts";

/** Width kept for a legend at the right [px]. */
export const LEGEND_WIDTH = 190;

/** Room for the names of a legend below, all together [px]. */
const BELOW_WIDTH = 700;

const TEXT = { fontFamily: "sans-serif", fontSize: 12, color: INK };

const LOOK = { show: true, itemWidth: 26, itemHeight: 11, itemGap: 10, textStyle: TEXT };

/** Name of a series, and a sign for it where the library's own would mislead. */
type LegendEntry = string | { readonly name: string; readonly icon: string };

/** A legend below the chart. */
export function legendBelow(names: readonly string[]): LegendComponentOption {
  const width = Math.floor(BELOW_WIDTH / Math.max(1, names.length)) - LOOK.itemWidth;
  const textStyle = { ...TEXT, width, overflow: "truncate" as const };
  return { ...LOOK, data: names.map(plainText), bottom: 10, left: "center", orient: "horizontal", textStyle };
}

/** A legend at the right for lines, one name a line. */
export function legendRight(names: readonly LegendEntry[]): LegendComponentOption {
  const textStyle = { ...TEXT, width: LEGEND_WIDTH - 50, overflow: "truncate" as const };
  return { ...LOOK, data: names.map(entryOf), right: 16, top: 78, orient: "vertical", textStyle };
}

/** A legend at the right for signs and shades, which keep their shape. */
export function signLegend(names: readonly string[]): LegendComponentOption {
  return { ...legendRight(names), itemWidth: 13, itemHeight: 13 };
}

function entryOf(entry: LegendEntry): string | { name: string; icon: string } {
  return typeof entry === "string" ? plainText(entry) : { name: plainText(entry.name), icon: entry.icon };
}
