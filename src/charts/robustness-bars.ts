import { barAxis, barNames, placeAxis } from "./axes.ts";
import type { ChartOption, Estimate, Heading } from "./chart-option.ts";
import { framed, nothingToShow, room } from "./frame.ts";
import { labelledPoints, strokes, whisker } from "./marks.ts";
import { INK, STEPS } from "./palette.ts";
import { counted, plainText } from "./plain-text.ts";

/** How often each pick holds when what cannot be controlled varies. */
export interface RobustnessData extends Heading {
  readonly picks: readonly RobustPick[];
}

interface RobustPick {
  readonly name: string;
  /** Runs in which every limit holds. */
  readonly held: number;
  /** Runs in all, at least 1. */
  readonly runs: number;
  /** Share of runs that hold, with its interval, each from 0 to 1. */
  readonly share: Estimate;
}

/** Bars of the share of runs in which a pick holds, with intervals, the surest at the top. */
export function robustnessBarsOption(data: RobustnessData): ChartOption {
  const picks = data.picks.toSorted((a, b) => b.share.value - a.share.value);
  const [surest] = picks;
  if (surest === undefined) return nothingToShow(data);
  const summary = `Share of runs in which each of ${counted(picks.length, "pick")} holds; the surest is ${plainText(surest.name)}, ${surest.held} of ${surest.runs} runs.`;
  const shares = picks.map(({ share }) => inPerCent(share));
  return framed(data, summary, {
    grid: room(0, 90),
    xAxis: { ...barAxis("runs in which every limit holds [%]"), min: 0, max: 100 },
    yAxis: [barNames(picks.map(({ name }) => name)), { ...placeAxis(picks.length), inverse: true }],
    series: [
      {
        type: "bar",
        barWidth: "52%",
        itemStyle: { color: STEPS[3] ?? INK, borderColor: INK, borderWidth: 0.8 },
        data: shares.map(({ value }) => value),
      },
      strokes(
        shares.flatMap((share, k) => whisker(share, k, 0.12)),
        { color: INK, yAxis: 1 },
      ),
      labelledPoints(
        picks.map(({ held, runs }, k) => ({ x: 100, y: k, label: `${held} of ${runs}` })),
        { position: "right", size: 0.01, yAxis: 1 },
      ),
    ],
  });
}

function inPerCent({ value, low, high }: Estimate): Estimate {
  return { value: 100 * value, low: 100 * low, high: 100 * high };
}
