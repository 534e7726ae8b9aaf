import type { RunsProgress } from "../index.ts";
import { isLive, type Terminal } from "./terminal.ts";

/** Shows how far the runs of a study are, at what rate, and how long the rest will take. */
export interface RunsPrinter {
  readonly show: (progress: RunsProgress) => void;
  /** Clears the line; to be called before anything else is printed. */
  readonly end: () => void;
}

const CLEAR_LINE = "\r\u001b[2K";
const BAR = 20;

/** Progress on standard error: one line rewritten on a terminal, else a line at each tenth, nothing when quiet. */
export function runsPrinter(quiet: boolean, { err, env, now }: Pick<Terminal, "err" | "env" | "now">): RunsPrinter {
  if (quiet) return { show: () => undefined, end: () => undefined };
  const start = now();
  const live = isLive(err, env);
  let tenth = -1;
  const rewritten = (progress: RunsProgress): void => {
    err.write(CLEAR_LINE + runsWords(progress, now() - start).slice(0, err.columns - 1));
  };
  const plain = (progress: RunsProgress): void => {
    const reached = Math.floor((10 * progress.done) / Math.max(progress.total, 1));
    if (reached > tenth) err.write(`${runsWords(progress, now() - start)}\n`);
    tenth = Math.max(tenth, reached);
  };
  return {
    show: live ? rewritten : plain,
    end: () => {
      if (live) err.write(CLEAR_LINE);
    },
  };
}

/**
 * @param elapsed - since the runs began [s]
 */
function runsWords({ done, total, known }: RunsProgress, elapsed: number): string {
  const filled = Math.round((BAR * done) / Math.max(total, 1));
  const bar = `[${"#".repeat(filled)}${".".repeat(BAR - filled)}]`;
  const fresh = done - known;
  const kept = known === 0 ? "" : `, ${known} known before`;
  if (fresh === 0 || elapsed <= 0) return `${bar} ${done} of ${total} runs${kept}`;
  const rate = fresh / elapsed;
  return `${bar} ${done} of ${total} runs${kept}, ${rateWords(rate)}, ${timeWords((total - done) / rate)} left`;
}

function rateWords(rate: number): string {
  return rate >= 1 ? `${rate.toFixed(1)} a second` : `${(60 * rate).toFixed(1)} a minute`;
}

function timeWords(seconds: number): string {
  if (seconds < 90) return `${Math.ceil(seconds)} s`;
  return seconds < 5400 ? `${Math.ceil(seconds / 60)} min` : `${(seconds / 3600).toFixed(1)} h`;
}
