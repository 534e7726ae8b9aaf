import { scaledAxis } from "./axes.ts";
import type { ChartOption, Heading, Series } from "./chart-option.ts";
import { framed, nothingToShow } from "./frame.ts";
import { LEGEND_WIDTH, signLegend } from "./legends.ts";
import { labelledPoints } from "./marks.ts";
import { lookOf, SOFT_INK } from "./palette.ts";
import { counted, numberText, plainText } from "./plain-text.ts";
import { rangeOf, widened } from "./ticks.ts";

/** What each motor costs, and what it draws, with the gearboxes that can be bought. */
export interface RatioCostData extends Heading {
  /** With its unit: `price [EUR]`. */
  readonly price: string;
  /** With its unit: `energy [kWh/a]`; absent: not drawn. */
  readonly energy?: string;
  readonly motors: readonly { readonly name: string; readonly picks: readonly RatioCost[] }[];
}

/** A motor with a gearbox of some ratio. */
export interface RatioCost {
  /** Above 0. */
  readonly ratio: number;
  readonly price: number;
  readonly energy: number;
  /** false: some limit fails. */
  readonly passes: boolean;
}

const FAILS = "a limit fails";

/** Price over the ratio, energy over the same ratios below it; filled points work, hollow ones fail. */
export function ratioCostsOption(data: RatioCostData): ChartOption {
  const picks = data.motors.flatMap((motor) => motor.picks).filter(isWhole);
  const range = rangeOf(picks.map(({ ratio }) => ratio));
  if (range === undefined) return nothingToShow(data);
  const ratios = ratioScale(range, picks);
  const panels: readonly Panel[] = [
    { name: data.price, valueOf: ({ price }) => price },
    ...(data.energy === undefined ? [] : [{ name: data.energy, valueOf: ({ energy }: RatioCost) => energy }]),
  ];
  const isLast = (index: number): boolean => index === panels.length - 1;
  const names = data.motors.map(({ name }) => name);
  return framed(data, summaryOf(data, picks), {
    grid: panels.map((_, index) => boxOf(index, panels.length)),
    legend: signLegend(picks.every(({ passes }) => passes) ? names : [...names, FAILS]),
    xAxis: panels.map((_, index) => ({
      ...unnamedUnless(isLast(index), ratios),
      gridIndex: index,
    })),
    yAxis: panels.map((panel, index) => ({ ...valueScale(panel, picks, panels.length), gridIndex: index })),
    series: panels.flatMap((panel, index) => panelSeries(data, panel, index)),
  });
}

interface Panel {
  readonly name: string;
  readonly valueOf: (pick: RatioCost) => number;
}

/** Edges of all panels together, in per cent of the picture. */
const EDGES = { top: 16, bottom: 89 };
const GAP = 5;

function boxOf(index: number, count: number) {
  const height = (EDGES.bottom - EDGES.top) / count;
  return {
    left: 84,
    right: 28 + LEGEND_WIDTH,
    top: `${EDGES.top + index * height}%`,
    height: `${index === count - 1 ? height : height - GAP}%`,
    outerBoundsMode: "none" as const,
  };
}

/** Equal factors are equal widths; a tick at each ratio, which has no label where there is no room for it. */
function ratioScale({ low, high }: { readonly low: number; readonly high: number }, picks: readonly RatioCost[]) {
  const axis = scaledAxis("gear ratio", { min: low / 1.1, max: high * 1.1, logarithmic: true });
  const ticks = { customValues: [...new Set(picks.map(({ ratio }) => ratio))].toSorted((a, b) => a - b) };
  return {
    ...axis,
    axisLabel: { ...axis.axisLabel, ...ticks, hideOverlap: true },
    axisTick: { ...axis.axisTick, ...ticks },
  };
}

function isWhole({ ratio, price, energy }: RatioCost): boolean {
  return [ratio, price, energy].every(Number.isFinite);
}

/** The upper of two axes of the same ratios has ticks alone. */
function unnamedUnless(isNamed: boolean, axis: ReturnType<typeof ratioScale>) {
  return isNamed ? { ...axis, nameGap: 28 } : { ...axis, name: "", axisLabel: { ...axis.axisLabel, show: false } };
}

/** Height of the panels together, for which names of axes are cut [px]. */
const HEIGHT = 340;

function valueScale({ name, valueOf }: Panel, picks: readonly RatioCost[], count: number) {
  const range = rangeOf(picks.map(valueOf)) ?? { low: 0, high: 1 };
  const nameTruncate = { maxWidth: HEIGHT / count, ellipsis: "…" };
  return { ...scaledAxis(name, widened(range, [0.12, 0.12])), nameGap: 58, nameTruncate };
}

/** Points of each motor, and an empty series that names those that fail. */
function panelSeries({ motors }: RatioCostData, { valueOf }: Panel, index: number): Series[] {
  const drawn = motors.flatMap(({ name, picks }, k) => {
    const { color, symbol } = lookOf(k);
    const axes = { xAxis: index, yAxis: index };
    // Motors that cost the same lie on each other: the later are smaller, so that the earlier look out.
    const size = Math.max(7, 16 - 3 * k);
    const points = (works: boolean) =>
      picks
        .filter((pick) => isWhole(pick) && pick.passes === works)
        .map((pick) => ({ x: pick.ratio, y: valueOf(pick), label: "" }));
    return [
      labelledPoints(points(false), { ...axes, position: "right", color, symbol, size, hollow: true }),
      labelledPoints(points(true), { ...axes, position: "right", name, color, symbol, size }),
    ];
  });
  return [...drawn, labelledPoints([], { position: "right", name: FAILS, color: SOFT_INK, size: 9, hollow: true })];
}

function summaryOf({ motors, price }: RatioCostData, picks: readonly RatioCost[]): string {
  const works = picks.filter(({ passes }) => passes);
  const cheapest = works.toSorted((a, b) => a.price - b.price)[0];
  const best =
    cheapest === undefined
      ? "none works"
      : `cheapest ${numberText(cheapest.price)} at ratio ${numberText(cheapest.ratio)}`;
  return `${plainText(price)} of ${counted(motors.length, "motor")} at ${counted(picks.length, "ratio")}, of which ${works.length} work: ${best}.`;
}
