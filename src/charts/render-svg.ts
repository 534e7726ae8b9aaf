import { init } from "echarts/dist/echarts.esm.min.mjs";
import type { ChartOption } from "./chart-option.ts";
import { standalone } from "./standalone.ts";

/** Width and height of a picture [px]. */
export interface PictureSize {
  readonly width: number;
  readonly height: number;
}

/**
 * Draws a chart as an SVG document: no script, no reference to anything outside, the same bytes for the same option.
 *
 * Loading this file loads the drawing library; import it only where a picture is wanted.
 *
 * @param option - from one of the `…Option` functions; it is not changed
 * @param size - at least some 400 × 250, else labels lie on each other [px]
 */
export function renderSvg(option: ChartOption, { width, height }: PictureSize): string {
  const chart = init(null, null, { renderer: "svg", ssr: true, locale: "EN", width, height });
  try {
    chart.setOption(structuredClone(option));
    return standalone(chart.renderToSVGString(), option.title[0].text, option.aria.label.description);
  } finally {
    chart.dispose();
  }
}
