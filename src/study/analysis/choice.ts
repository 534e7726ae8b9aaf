import type { Level, Run } from "./factor.ts";
import { levelsAt } from "./level-means.ts";
import { type Figure, isKnown } from "./remark.ts";
import { groupBy, settingsKey } from "./replicates.ts";

/** Runs with what was chosen in each; null: nothing (infeasible). */
export interface Choices {
  readonly runs: readonly Run[];
  readonly picks: readonly (string | null)[];
}

/** How often something was chosen. */
export interface PickShare {
  readonly pick: string;
  readonly count: number;
  readonly share: number;
}

/** How a factor and the choice hang together. */
export interface Association {
  /** 0: the choice does not hang on the factor's levels, 1: each level has its own; less what chance adds in few runs. */
  readonly cramersV: Figure;
  /** What knowing the level tells of the choice. [bit] */
  readonly mutualInformation: Figure;
  /** Share of pairs of runs alike in all other factors, and next to each other in this one, whose choice differs. */
  readonly flipShare: Figure;
}

/** Shares of what was chosen, most frequent first, among runs that chose something. */
export function pickShares(picks: readonly (string | null)[]): PickShare[] {
  const made = picks.filter((pick) => pick !== null);
  const counts = new Map<string, number>();
  for (const pick of made) counts.set(pick, (counts.get(pick) ?? 0) + 1);
  return [...counts]
    .map(([pick, count]) => ({ pick, count, share: count / made.length }))
    .toSorted((a, b) => b.count - a.count || (a.pick < b.pick ? -1 : 1));
}

/** Shares of what was chosen at each level of the factor at a place. */
export function pickSharesByLevel({ runs, picks }: Choices, place: number): { level: Level; shares: PickShare[] }[] {
  return levelsAt(runs, place).map((level) => ({
    level,
    shares: pickShares(picks.filter((_, k) => runs[k]?.[place] === level)),
  }));
}

/**
 * How the choice hangs on the factor at a place, among runs that chose something.
 *
 * φ² = χ²/n, k levels, r picks: V = √(max(0, φ² − (k − 1)·(r − 1)/(n − 1))/(min(k̃, r̃) − 1)), k̃ = k − (k − 1)²/(n − 1), r̃
 * alike; I = Σ p(l, p)·log₂(p(l, p)/(p(l)·p(p)))
 * Source: H. Cramér, Mathematical Methods of Statistics (1946), 21.9; W. Bergsma, J. Korean Stat. Soc. 42 (2013) 323;
 * C. E. Shannon, Bell System Tech. J. 27 (1948) 379.
 */
export function associationOf(choices: Choices, place: number): Association {
  const made = choices.picks.flatMap((pick, k) => (pick === null ? [] : [{ run: choices.runs[k] ?? [], pick }]));
  const table = tableOf(
    levelNames(made.map(({ run }) => run[place] ?? "")),
    made.map(({ pick }) => pick),
  );
  return { ...strengths(table), flipShare: flipShare(made, place) };
}

/** Numbers of more levels than this, each in fewer runs than this, are put together. */
const FEW = 5;
/** Levels put together come to so many groups at the most. */
const GROUPS = 4;

/**
 * Names of levels, one for each run. Numbers that hardly come twice are put into groups of like size: a level of its own for
 * each run would decide everything.
 *
 * Source: common practice, no source.
 */
function levelNames(levels: readonly Level[]): string[] {
  const distinct = new Set(levels).size;
  const areNumbers = levels.every((level) => typeof level === "number");
  if (!areNumbers || distinct <= FEW || levels.length >= FEW * distinct) return levels.map(String);
  const groups = Math.max(2, Math.min(GROUPS, Math.floor(levels.length / FEW)));
  const below = new Map<Level, number>();
  for (const [place, level] of levels.toSorted((a, b) => a - b).entries())
    if (!below.has(level)) below.set(level, place);
  return levels.map((level) => `group ${Math.floor((groups * (below.get(level) ?? 0)) / levels.length)}`);
}

/** How the choice hangs on each factor, those that flip it most first; ids in the order of the runs' levels. */
export function associationsOf(
  choices: Choices,
  factors: readonly string[],
): (Association & { readonly factor: string })[] {
  return factors
    .map((factor, place) => ({ factor, ...associationOf(choices, place) }))
    .toSorted((a, b) => size(b.flipShare) - size(a.flipShare) || size(b.mutualInformation) - size(a.mutualInformation));
}

/** What is absent sorts last. */
function size(figure: Figure): number {
  return isKnown(figure) ? figure : -1;
}

/** Counts of pairs of level and pick with the counts of each alone. */
interface Contingency {
  readonly cells: readonly { readonly together: number; readonly expected: number }[];
  readonly levels: number;
  readonly picks: number;
  readonly count: number;
}

function tableOf(levels: readonly string[], picks: readonly string[]): Contingency {
  const [allLevels, allPicks] = [[...new Set(levels)], [...new Set(picks)]];
  const cells = allLevels.flatMap((level) =>
    allPicks.map((pick) => ({
      together: levels.filter((other, k) => other === level && picks[k] === pick).length,
      expected:
        (levels.filter((other) => other === level).length * picks.filter((other) => other === pick).length) /
        levels.length,
    })),
  );
  return { cells, levels: allLevels.length, picks: allPicks.length, count: levels.length };
}

function strengths({ cells, levels, picks, count }: Contingency): Omit<Association, "flipShare"> {
  if (count === 0) return { cramersV: { absent: "no-runs" }, mutualInformation: { absent: "no-runs" } };
  const information = cells.reduce((sum, { together, expected }) => {
    return together === 0 ? sum : sum + (together / count) * Math.log2(together / expected);
  }, 0);
  const chiSquared = cells.reduce((sum, { together, expected }) => sum + (together - expected) ** 2 / expected, 0);
  return {
    cramersV: cramersV({ levels, picks, count }, chiSquared / count),
    mutualInformation: Math.max(information, 0),
  };
}

/** Less what chance adds to φ² in so many runs. */
function cramersV({ levels, picks, count }: Omit<Contingency, "cells">, phiSquared: number): Figure {
  if (Math.min(levels, picks) === 1) return { absent: "constant" };
  const chance = (kinds: number): number => (kinds - 1) / (count - 1);
  const free = Math.min(...[levels, picks].map((kinds) => (kinds - 1) * (1 - chance(kinds))));
  if (free < 1e-9) return { absent: "no-freedom" };
  return Math.sqrt(Math.max(0, phiSquared - (levels - 1) * chance(picks)) / free);
}

function flipShare(made: readonly { readonly run: Run; readonly pick: string }[], place: number): Figure {
  const levels = levelsAt(
    made.map(({ run }) => run),
    place,
  );
  const lines = groupBy(
    made.map(({ run }) => settingsKey(run.toSpliced(place, 1))),
    made,
  );
  let [pairs, flips] = [0, 0];
  for (const line of lines.values()) {
    for (const one of line) {
      const step = levels.indexOf(one.run[place] ?? "");
      for (const other of line) {
        if (!isNext(levels, step, other.run[place])) continue;
        pairs++;
        if (one.pick !== other.pick) flips++;
      }
    }
  }
  return pairs === 0 ? { absent: "no-pairs" } : flips / pairs;
}

/** Numeric levels are next to each other in their order; each text is next to every other. */
function isNext(levels: Run, step: number, other: Level | undefined): boolean {
  const level = levels[step];
  if (typeof level === "number") return other !== undefined && levels[step + 1] === other;
  return typeof other === "string" && levels.indexOf(other) > step;
}
