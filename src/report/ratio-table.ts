import type { MotorRatios, RatioPick, RatiosDocument } from "../machine/ratios.ts";
import { counted, figure, moneyWithCents, percent } from "./figures.ts";
import { columnsOf, printable, wrap } from "./layout.ts";
import { LIMIT_WORDS } from "./limit-words.ts";
import type { TextStyle } from "./text-style.ts";

const RATIO = 8;
const NAME = 12;
const LIMIT = 32;
const USED = 8;
const PRICE = 10;
const ENERGY = 7;
/** Ratios shown where none passes. */
const NEAREST = 3;

/** Ratios that passed or stand beside one that does, each with its best pick; `x` fails, `*` is the pick of the result. */
export function ratioTable(
  motor: MotorRatios,
  { currency, energy_years: years }: RatiosDocument,
  style: TextStyle,
): string[] {
  const all = bestPicks(motor.gearboxes);
  const shown = shownPicks(motor);
  const note = noteWords({ motor, left: all.length - shown.length, shown }).flatMap((words) => wrap(words, NOTE));
  return [
    style.dim(heading(currency)),
    ...shown.flatMap((pick) => row(pick, motor, years > 0)),
    ...note.map(style.dim),
  ];
}

const NOTE = { first: 4, rest: 4 };

interface Noted {
  readonly motor: MotorRatios;
  readonly left: number;
  readonly shown: readonly RatioPick[];
}

function noteWords({ motor: { gearboxes }, left, shown }: Noted): string[] {
  const star = shown.some(({ picked }) => picked) ? ["* is the pick of the result."] : [];
  if (gearboxes.length === shown.length) return star;
  const rest = left === 0 ? "" : `${counted(left, "more ratio fails", "more ratios fail")}; `;
  return [...star, `${rest}--json lists all ${figure(gearboxes.length)} picks.`];
}

/** The picks worth looking at, by ratio: the best at each ratio that works and its neighbours, else the nearest. */
export function shownPicks({ gearboxes }: MotorRatios): readonly RatioPick[] {
  return worthShowing(bestPicks(gearboxes));
}

/** For each ratio the cheapest that passes, else the one that fails least; the pick of the result always. */
function bestPicks(picks: readonly RatioPick[]): RatioPick[] {
  const found = new Map<number, RatioPick>();
  for (const pick of picks.filter(({ picked }) => !picked)) {
    const before = found.get(pick.ratio);
    if (before === undefined || isBetter(pick, before)) found.set(pick.ratio, pick);
  }
  const own = picks.filter(({ picked }) => picked);
  const rest = [...found.values()].filter(({ ratio }) => own.every((pick) => pick.ratio !== ratio));
  return [...rest, ...own].toSorted((a, b) => a.ratio - b.ratio);
}

function isBetter(one: RatioPick, other: RatioPick): boolean {
  if (one.passes !== other.passes) return one.passes;
  return one.passes ? one.price < other.price : usedMost(one) < usedMost(other);
}

/** What passes with its neighbours; where nothing does, what is nearest. */
function worthShowing(picks: readonly RatioPick[]): RatioPick[] {
  const passes = (k: number): boolean => picks[k]?.passes === true || picks[k]?.picked === true;
  const near = picks.filter((_, k) => passes(k) || passes(k - 1) || passes(k + 1));
  if (near.length > 0) return near;
  const nearest = new Set(picks.toSorted((a, b) => usedMost(a) - usedMost(b)).slice(0, NEAREST));
  return picks.filter((pick) => nearest.has(pick));
}

function usedMost({ limits: [worst] }: RatioPick): number {
  return worst?.utilisation ?? Number.POSITIVE_INFINITY;
}

function heading(currency: string): string {
  const names = `${"ratio".padStart(RATIO)}  ${"gearbox".padEnd(NAME)} ${"nearest limit (x fails)".padEnd(LIMIT)}`;
  return `${names}${"used".padStart(USED)}${printable(currency).padStart(PRICE)}${"kWh/a".padStart(ENERGY)}`;
}

function row(pick: RatioPick, motor: MotorRatios, hasEnergy: boolean): string[] {
  const energy = hasEnergy ? figure(pick.energy) : "-";
  const name = pick.gearbox === null ? "none" : printable(pick.gearbox);
  const isLong = columnsOf(name) > NAME;
  const numbers = `${usedText(pick).padStart(USED)}${moneyWithCents(pick.price).padStart(PRICE)}${energy.padStart(ENERGY)}`;
  const mark = pick.picked ? "*" : pick.passes ? " " : "x";
  const beside = isLong ? "" : name;
  const line = `${mark} ${figure(pick.ratio, 5).padStart(RATIO - 2)}  ${padded(beside, NAME)} ${padded(limitWords(pick), LIMIT)}${numbers}`;
  return [...(isLong ? wrap(name, { first: RATIO + 2, rest: RATIO + 2 }) : []), line, ...driveLine(pick, motor)];
}

function padded(text: string, columns: number): string {
  return text + " ".repeat(Math.max(0, columns - columnsOf(text)));
}

function limitWords({ limits: [worst], failed, picked, passes }: RatioPick): string {
  const id = passes ? worst?.id : (failed.find((one) => one === worst?.id) ?? failed[0]);
  const words = id === undefined ? "none" : LIMIT_WORDS[id];
  return picked && !passes ? `${words} x` : words;
}

function usedText({ limits, failed, passes }: RatioPick): string {
  const [worst] = limits;
  const shown = passes || failed.some((id) => id === worst?.id) ? worst : undefined;
  return shown === undefined || shown.utilisation === null ? "-" : percent(shown.utilisation).replaceAll(/\s/gu, " ");
}

/** Only where it is not the drive of the window. */
function driveLine(pick: RatioPick, motor: MotorRatios): string[] {
  const { drive, inductor } = pick;
  if (drive === motor.drive && inductor === motor.inductor) return [];
  const coil = inductor === null ? "" : ` with inductor ${printable(inductor)}`;
  return wrap(`drive ${printable(drive)}${coil}`, { first: RATIO + 2, rest: RATIO + 2 });
}
