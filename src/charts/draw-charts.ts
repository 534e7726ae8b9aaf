import type { ChartOption } from "./chart-option.ts";

/** A chart with the name of its file. */
export interface NamedChart {
  readonly name: string;
  readonly option: ChartOption;
}

/** A chart as an SVG document. */
export interface DrawnChart {
  readonly name: string;
  readonly svg: string;
}

/** Size of charts that go into files [px]. */
const PICTURE = { width: 900, height: 560 };

/** Draws charts without a browser; the drawing library is loaded here, and only here. */
export async function drawCharts(charts: readonly NamedChart[]): Promise<readonly DrawnChart[]> {
  if (charts.length === 0) return [];
  const { renderSvg } = await import("./render-svg.ts");
  return charts.map(({ name, option }) => ({ name, svg: renderSvg(option, PICTURE) }));
}
