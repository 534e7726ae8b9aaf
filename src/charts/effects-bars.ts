import { barAxis, barNames } from "./axes.ts";
import type { ChartOption, Heading } from "./chart-option.ts";
import { framed, nothingToShow, room } from "./frame.ts";
import { guides } from "./marks.ts";
import { BLUE, GREY, INK, PAPER, SOFT_INK, VERMILLION } from "./palette.ts";
import { counted, numberText, plainText } from "./plain-text.ts";
import { rangeOf, roundEnds } from "./ticks.ts";

/** Effects of factors and their interactions on one response. */
export interface EffectsData extends Heading {
  /** What the bars measure, with its unit: `effect on cost [EUR]`. */
  readonly quantity: string;
  /** In any order. */
  readonly effects: readonly Effect[];
  /** Sizes beyond which an effect counts, such as the margin of error ME and the simultaneous one SME; above 0. */
  readonly limits: readonly { readonly name: string; readonly value: number }[];
}

interface Effect {
  readonly name: string;
  readonly value: number;
  /** Whether it stands out; by default, whether it exceeds the least limit. */
  readonly active?: boolean;
}

/** More bars than this cannot be read at 500 px. */
const MOST = 24;

/**
 * Bars of effects by size, the largest at the top, with lines at ± each limit.
 *
 * Source: margins ME and SME: R. V. Lenth, Technometrics 31 (1989), 469–473.
 */
export function effectsBarsOption(data: EffectsData): ChartOption {
  const bySize = data.effects
    .filter(({ value }) => Number.isFinite(value))
    .toSorted((a, b) => Math.abs(b.value) - Math.abs(a.value));
  const [largest] = bySize;
  if (largest === undefined) return nothingToShow(data);
  const shown = bySize.slice(0, MOST);
  const summary = `Bars of ${counted(bySize.length, "effect")}, ${data.quantity}; the largest is ${plainText(largest.name)} with ${numberText(largest.value)}.`;
  return framed(withLeftOut(data, bySize.length - shown.length), summary, {
    grid: { ...room(), top: 92 },
    xAxis: { ...barAxis(data.quantity), ...endsOf(shown, data) },
    yAxis: barNames(shown.map(({ name }) => name)),
    series: [
      {
        type: "bar",
        barCategoryGap: "30%",
        data: shown.map((effect) => bar(effect, isActive(effect, data))),
        label: {
          show: true,
          color: INK,
          fontFamily: "sans-serif",
          fontSize: 12,
          textBorderColor: PAPER,
          textBorderWidth: 2,
        },
      },
      guides("x", data.limits.flatMap(bothSides), { color: SOFT_INK, labels: "start", level: 1 }),
    ],
  });
}

function withLeftOut(heading: Heading, count: number): Heading {
  if (count === 0) return heading;
  const left = `${counted(count, "smaller one")} not shown`;
  return { title: heading.title, note: heading.note === undefined ? left : `${heading.note}; ${left}` };
}

/** Room for the figures beside the bars and for the lines. */
function endsOf(shown: readonly Effect[], { limits }: EffectsData) {
  const lines = limits.flatMap(({ value }) => [-value, value]);
  const { low, high } = rangeOf([0, ...lines, ...shown.map(({ value }) => value)]) ?? { low: 0, high: 1 };
  const figures = 0.1 * (high - low);
  const isLeft = shown.some(({ value }) => value < 0);
  return roundEnds(isLeft ? low - figures : low, high + figures);
}

function isActive({ value, active }: Effect, { limits }: EffectsData): boolean {
  return active ?? Math.abs(value) > Math.min(...limits.map((limit) => limit.value));
}

function bar({ value }: Effect, active: boolean) {
  const signed = value < 0 ? VERMILLION : BLUE;
  return {
    value,
    itemStyle: active ? { color: signed } : { color: GREY },
    label: { formatter: numberText(value), position: value < 0 ? ("left" as const) : ("right" as const) },
  };
}

function bothSides({ name, value }: { readonly name: string; readonly value: number }) {
  return [
    { at: -value, label: `-${name}` },
    { at: value, label: name },
  ];
}
