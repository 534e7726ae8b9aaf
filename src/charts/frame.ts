import type { GridComponentOption } from "echarts";
import type { ChartOption, Heading } from "./chart-option.ts";
import { INK, PAPER, SOFT_INK } from "./palette.ts";
import { plainText } from "./plain-text.ts";

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
    aria: { enabled: true, label: { description: `${title}. ${plainText(summary)}` } },
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
