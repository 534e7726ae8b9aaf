import type { LimitId } from "../machine/limit.ts";
import { TIE } from "./layout.ts";

/** A demand or an allowed value as the result document holds it: a number in a table unit. */
export interface Amount {
  readonly value: number;
  readonly unit: string;
}

interface Shown {
  readonly factor: number;
  readonly unit: string;
}

const BIG = 1000;
const SAME = { factor: 1 };

// How a table unit is shown to people, by the largest value that stands there.
const SHOWN: Readonly<Record<string, (largest: number) => Shown>> = {
  "1": () => ({ ...SAME, unit: "" }),
  count: () => ({ ...SAME, unit: "" }),
  m: (largest) => (largest < 1e-5 ? { factor: 1e6, unit: "um" } : { factor: 1e3, unit: "mm" }),
  rad: () => ({ factor: 180 / Math.PI, unit: "deg" }),
  W: (largest) => (largest < BIG ? { ...SAME, unit: "W" } : { factor: 1e-3, unit: "kW" }),
  J: (largest) => (largest < BIG ? { ...SAME, unit: "J" } : { factor: 1e-3, unit: "kJ" }),
  F: () => ({ factor: 1e6, unit: "uF" }),
  day: () => ({ ...SAME, unit: "days" }),
};

// Dimensionless limits that are spoken of in per cent.
const SHARES: ReadonlySet<LimitId> = new Set(["motor.speed_ripple", "axis.torque_ripple"]);

/** A number with so many significant digits, thousands set apart, whole digits never dropped. */
export function figure(value: number, digits = 3): string {
  const whole = Math.floor(Math.log10(Math.max(1, Math.abs(value)))) + 1;
  const maximumSignificantDigits = Math.max(digits, whole);
  return new Intl.NumberFormat("en-US", { maximumSignificantDigits }).format(value);
}

/** Rounded so that the printed number is still enough: never below the value. */
export function figureUp(value: number): string {
  return figure(stepped(value, Math.ceil), 6);
}

/** Rounded so that the printed number is still safe to set: never above the value. */
export function figureDown(value: number): string {
  return figure(stepped(value, Math.floor), 6);
}

/** `3.9 of 6 kW`: with as many digits as it takes to tell the two apart. */
export function pairText(id: LimitId, demand: number, allowed: number, unit: string): string {
  const shown = shownAs(id, unit, Math.max(Math.abs(demand), Math.abs(allowed)));
  const [asked, given] = [demand * shown.factor, allowed * shown.factor];
  const digits = [3, 4, 5, 6].find((count) => figure(asked, count) !== figure(given, count)) ?? 3;
  return tied(`${figure(asked, digits)} of ${figure(given, digits)}`, shown.unit);
}

/** One amount of a limit with its unit, rounded up: what would have to be allowed. */
export function neededText(id: LimitId, demand: number, unit: string): string {
  const shown = shownAs(id, unit, Math.abs(demand));
  return tied(figureUp(demand * shown.factor), shown.unit);
}

/** One amount with its unit. */
export function amountText({ value, unit }: Amount, write: (value: number) => string = figure): string {
  const shown = (SHOWN[unit] ?? ((): Shown => ({ ...SAME, unit })))(Math.abs(value));
  return tied(write(value * shown.factor), shown.unit);
}

/** Money without its currency: cents only where there are any. */
export function money(value: number): string {
  const cents = Math.round(value * 100);
  return cents % 100 === 0 ? figure(cents / 100, 15) : moneyWithCents(value);
}

/** Money in a column: always two decimals. */
export function moneyWithCents(value: number): string {
  return new Intl.NumberFormat("en-US", { minimumFractionDigits: 2, maximumFractionDigits: 2 }).format(value);
}

/** A share in whole per cent; what is below a limit is never shown as 100 %. */
export function percent(share: number): string {
  const whole = Math.round(share * 100);
  const near = whole === 100 && Math.abs(share - 1) > 1e-9;
  return tied(near ? figure(share < 1 ? stepped(share * 100, Math.floor) : share * 100, 5) : figure(whole), "%");
}

/** Relief as a share of what is allowed, `4 % more`; small ones keep two digits. */
export function sharePercent(share: number): string {
  return tied(figure(share * 100, 2), "%");
}

/** Machine time. */
export function timeText(seconds: number): string {
  return tied(figure(Number(seconds.toFixed(3)), 4), "s");
}

/** A whole number of things, `1 motor` or `3 motors`. */
export function counted(count: number, one: string, many = `${one}s`): string {
  return tied(figure(count), count === 1 ? one : many);
}

function shownAs(id: LimitId, unit: string, largest: number): Shown {
  if (SHARES.has(id) && unit === "1") return { factor: 100, unit: "%" };
  return (SHOWN[unit] ?? ((): Shown => ({ ...SAME, unit })))(largest);
}

function stepped(value: number, round: (value: number) => number): number {
  if (value === 0) return 0;
  const step = 10 ** Math.min(0, Math.floor(Math.log10(Math.abs(value))) - 2);
  // A value that already sits on a step must stay there in spite of binary fractions.
  const steps = value / step;
  return (Math.abs(steps - Math.round(steps)) < 1e-6 ? Math.round(steps) : round(steps)) * step;
}

function tied(number: string, unit: string): string {
  return (unit === "" ? number : `${number} ${unit}`).replaceAll(" ", TIE);
}
