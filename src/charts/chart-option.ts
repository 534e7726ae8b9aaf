import type { EChartsOption, SeriesOption, TitleComponentOption } from "echarts";

/** A series of a chart. */
export type Series = SeriesOption;

/** A chart as plain data without functions: the same object serves the SVG writer and an interactive page. */
export interface ChartOption extends EChartsOption {
  /** The chart's own title comes first. */
  title: [TitleComponentOption & { text: string }, ...TitleComponentOption[]];
  /** What is seen, in words. */
  aria: { enabled: true; label: { description: string } };
}

/** What stands above a chart. */
export interface Heading {
  readonly title: string;
  /** A line below the title: where the figures are from, what is left out. */
  readonly note?: string;
}

/** A text with the point it belongs to, in the units of the axes. */
export interface LabelledPoint {
  readonly x: number;
  readonly y: number;
  readonly label: string;
}

/** A value with the interval it is believed to lie in. */
export interface Estimate {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}
