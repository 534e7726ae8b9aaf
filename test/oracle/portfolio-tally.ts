import type { Agreement } from "./agreement.ts";
import type { Trial } from "./portfolio-trial.ts";
import { ROW_KINDS, type RowKind } from "./row-kinds.ts";

/** What many trials come to. */
export interface Tally {
  readonly feasible: number;
  readonly tied: number;
  /** Against HiGHS on the plain model, and against trying everything. */
  readonly plain: Counts;
  /** Those that the plain model did not close. */
  readonly unclosed: readonly number[];
  readonly tried: Counts;
  readonly wrong: readonly string[];
  readonly changes: readonly string[];
  /** By kind of row: portfolios looked into that have it, and those in which other parts are picked without it. */
  readonly kinds: Readonly<Record<string, { readonly present: number; readonly active: number }>>;
  readonly engineCalls: number;
}

type Counts = Readonly<Record<Agreement["kind"], number>>;

function countsOf(agreements: readonly (Agreement | undefined)[]): Counts {
  const of = (kind: Agreement["kind"]): number => agreements.filter((one) => one?.kind === kind).length;
  return { same: of("same"), near: of("near"), "energy-tie": of("energy-tie"), wrong: of("wrong") };
}

const isRowKind = (name: string): name is RowKind => name in ROW_KINDS;

/** Adds trials up. */
export function tallyOf(trials: readonly Trial[]): Tally {
  const kinds = Object.keys(ROW_KINDS)
    .filter(isRowKind)
    .map((kind) => {
      const own = trials.flatMap((trial) => trial.kinds?.get(kind) ?? []);
      return [kind, { present: own.length, active: own.filter((isActive) => isActive).length }] as const;
    });
  const agreements = trials.flatMap(({ plain, tried }) => [plain, tried]);
  return {
    feasible: trials.filter(({ feasible }) => feasible).length,
    tied: trials.filter(({ ties }) => ties > 1).length,
    plain: countsOf(trials.map(({ plain }) => plain)),
    unclosed: trials.flatMap(({ seed, plain }) => (plain === undefined ? [seed] : [])),
    tried: countsOf(trials.map(({ tried }) => tried)),
    wrong: agreements.flatMap((one) => (one?.kind === "wrong" ? [one.why] : [])),
    changes: trials.flatMap(({ changes }) => changes),
    kinds: Object.fromEntries(kinds),
    engineCalls: trials.reduce((sum, trial) => sum + trial.engineCalls, 0),
  };
}

const countsText = (counts: Counts): string =>
  `${counts.same} alike, ${counts.near} decided by a limit next to 1, ${counts["energy-tie"]} by energy within the stepping error, ${counts.wrong} wrong`;

/** The tally as text. */
export function tallyText(trials: readonly Trial[]): string {
  const { feasible, tied, plain, unclosed, tried, kinds, engineCalls } = tallyOf(trials);
  const kindTexts = Object.entries(kinds).map(([kind, { present, active }]) => `${kind} ${active} of ${present}`);
  return [
    `${trials.length} portfolios, ${feasible} with an answer, ${tied} with several of the lowest cost, ${engineCalls} calls of engines`,
    `plain model: ${countsText(plain)}, ${unclosed.length} not closed`,
    `brute force: ${countsText(tried)}`,
    `rows without which other parts are picked, of those that have them: ${kindTexts.join(", ")}`,
  ].join("\n");
}
