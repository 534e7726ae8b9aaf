import { counted, figure, money, percent } from "../../report/figures.ts";
import { labelled, printable, wrap } from "../../report/layout.ts";
import { isKnown } from "../analysis/remark.ts";
import type { AxisPick } from "../runs/held.ts";
import type { StudyDocument } from "./document.ts";
import type { PickRobustness } from "./robust.ts";
import type { Snaked } from "./snake-case.ts";

type RobustPick = Snaked<PickRobustness>;

const COLUMN = 11;
const PLAIN = { first: 2, rest: 4 };
const MOST_POINTS = 6;
const MOST_PICKS = 3;

/** Which picks stand up to the noise: held as they are in every run of it, parts unchanged. */
export function robustnessLines({ robustness, currency }: StudyDocument): string[] {
  const points = robustness ?? [];
  const head =
    "each pick that is lowest in some run of the noise, held with its parts as they are in all of them; the per cent are a guide, as if these runs had been drawn by chance:";
  return [
    ...labelled("ROBUST", head, COLUMN),
    ...points
      .slice(0, MOST_POINTS)
      .flatMap(({ point, picks }) => [
        ...wrap(`point ${point}, ${counted(picks.length, "pick")}:`, PLAIN),
        ...picks.slice(0, MOST_PICKS).flatMap((pick, index) => pickLines(pick, picks[index === 0 ? -1 : 0], currency)),
      ]),
    ...(points.length > MOST_POINTS
      ? [`  and ${counted(points.length - MOST_POINTS, "more point")}, in the study document`]
      : []),
  ];
}

function pickLines(pick: RobustPick, first: RobustPick | undefined, currency: string): string[] {
  const { feasible, noise_runs, interval, mean, worst, lowest_in, open } = pick;
  const unsettled = open === 0 ? "" : `, ${figure(open)} stopped before it was known`;
  const cost = isKnown(mean) && isKnown(worst) ? `, mean ${currency} ${money(mean)}, at most ${money(worst)}` : "";
  const share = `holds in ${figure(feasible)} of ${figure(noise_runs)} (${percent(interval.low)} to ${percent(interval.high)} of such noise)${unsettled}`;
  return wrap(`${share}, lowest in ${figure(lowest_in)}${cost}: ${pickWords(pick, first)}`, { first: 4, rest: 6 });
}

/** All parts of the first pick; of the others what differs from it. */
function pickWords(pick: RobustPick, first: RobustPick | undefined): string {
  const changed = pick.axes.filter((axis, index) => first === undefined || words(axis) !== words(first.axes[index]));
  const others = pick.others.filter((part) => first === undefined || !first.others.includes(part));
  const all = [...changed.map((axis) => `${printable(axis.axis)} ${words(axis)}`), ...others.map(printable)];
  return all.length === 0 ? "the same axes, fewer parts beside them" : `${all.join("; ")}.`;
}

function words(axis: AxisPick | undefined): string {
  if (axis === undefined) return "";
  return [axis.motor, axis.gearbox ?? "no gearbox", axis.drive].map(printable).join(" | ");
}
