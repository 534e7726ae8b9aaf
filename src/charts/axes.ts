import { INK, PALE, SOFT_INK } from "./palette.ts";
import { plainText } from "./plain-text.ts";
import { logarithmicTicks, roundTicks } from "./ticks.ts";

interface AxisText {
  readonly fontFamily: string;
  readonly fontSize: number;
  readonly color: string;
}

interface AxisLine {
  readonly show: boolean;
  readonly lineStyle?: { readonly color: string };
}

/** What all axes share; it serves as an x and as a y axis. */
interface Axis {
  readonly name?: string;
  readonly nameLocation: "middle";
  readonly nameTextStyle: AxisText;
  readonly nameTruncate: { readonly maxWidth: number; readonly ellipsis: string };
  readonly axisLine: AxisLine & { readonly onZero: boolean };
  readonly axisTick: AxisLine;
  readonly splitLine: AxisLine;
  readonly axisLabel: AxisText;
}

/** An axis of numbers. */
export interface NumberAxis extends Axis {
  readonly type: "value";
  /** true: not from 0 unless the numbers go there. */
  readonly scale?: boolean;
}

/** An axis of numbers with given ends and ticks. */
export interface ScaledAxis extends Axis {
  readonly type: "value" | "log";
  readonly min: number;
  readonly max: number;
  readonly axisLabel: AxisText & Ticks;
  readonly axisTick: AxisLine & Ticks;
}

interface Ticks {
  readonly customValues: number[];
}

/** An axis of names. */
export interface NameAxis extends Axis {
  readonly type: "category";
  readonly data: string[];
  readonly inverse?: boolean;
  readonly axisLabel: AxisText & { readonly interval: 0; readonly width: number; readonly overflow: "truncate" };
}

/** An axis that is not seen: the k-th name of another lies at k, its half of the room on either side. */
export interface PlaceAxis {
  readonly type: "value";
  readonly min: number;
  readonly max: number;
  readonly show: false;
}

/** Widest label beside a horizontal bar [px]; longer ones end in dots. */
const LABEL_WIDTH = 190;

/** Least room for all columns of a chart with a legend at the right [px]. */
const COLUMNS_WIDTH = 390;

const TEXT: AxisText = { fontFamily: "sans-serif", fontSize: 12, color: INK };

const LOOK: Omit<Axis, "name"> = {
  nameLocation: "middle",
  nameTextStyle: { ...TEXT, fontSize: 13 },
  nameTruncate: { maxWidth: 340, ellipsis: "…" },
  axisLine: { show: true, lineStyle: { color: SOFT_INK }, onZero: false },
  axisTick: { show: true, lineStyle: { color: SOFT_INK } },
  splitLine: { show: true, lineStyle: { color: PALE } },
  axisLabel: TEXT,
};

/** An axis of numbers; not from 0 unless the numbers go there. */
export function valueAxis(name: string): NumberAxis {
  return { ...LOOK, type: "value", scale: true, name: plainText(name) };
}

/** An axis of numbers that starts or ends at 0, for bars. */
export function barAxis(name: string): NumberAxis {
  return { ...LOOK, type: "value", name: plainText(name) };
}

/** Ends of an axis; both above 0 if it is logarithmic. */
interface Scale {
  readonly min: number;
  readonly max: number;
  readonly logarithmic?: boolean;
}

/** An axis of numbers from end to end, with ticks at round values. */
export function scaledAxis(name: string, { min, max, logarithmic = false }: Scale): ScaledAxis {
  const ticks = { customValues: logarithmic ? logarithmicTicks(min, max) : roundTicks(min, max) };
  return {
    ...LOOK,
    name: plainText(name),
    type: logarithmic ? "log" : "value",
    min,
    max,
    axisLabel: { ...TEXT, ...ticks },
    axisTick: { ...LOOK.axisTick, ...ticks },
    splitLine: { show: false },
  };
}

/** An axis of names. */
export function nameAxis(names: readonly string[], name?: string): NameAxis {
  return {
    ...LOOK,
    type: "category",
    ...(name === undefined ? {} : { name: plainText(name) }),
    data: names.map(plainText),
    axisTick: { show: false },
    splitLine: { show: false },
    axisLabel: { ...TEXT, interval: 0, width: LABEL_WIDTH, overflow: "truncate" },
  };
}

/** The axis below columns: labels as wide as there is room, longer ones end in dots. */
export function columnNames(names: readonly string[], name: string): NameAxis {
  const axis = nameAxis(names, name);
  return { ...axis, axisLabel: { ...axis.axisLabel, width: Math.min(LABEL_WIDTH, COLUMNS_WIDTH / names.length) } };
}

/** The axis beside horizontal bars, the first name at the top. */
export function barNames(names: readonly string[]): NameAxis {
  return { ...nameAxis(names), inverse: true };
}

/** Places between the names of an axis. */
export function placeAxis(count: number): PlaceAxis {
  return { type: "value", min: -0.5, max: count - 0.5, show: false };
}
