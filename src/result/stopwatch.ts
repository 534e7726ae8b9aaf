import type { Phase, SolveFileOptions } from "../machine/run.ts";

/** Times phases and knows how long is left. */
export interface Stopwatch {
  readonly time: <T>(phase: Phase, work: () => T | Promise<T>) => Promise<T>;
  /** [s] */
  readonly secondsLeft: () => number;
  /** Seconds by phase, and in all. */
  readonly laps: () => Record<string, number>;
}

export function stopwatch({
  now,
  timeLimit,
  progress,
}: Pick<SolveFileOptions, "now" | "timeLimit" | "progress">): Stopwatch {
  const start = now();
  const laps = new Map<string, number>();
  return {
    time: async (phase, work) => {
      progress({ phase });
      const from = now();
      const done = await work();
      laps.set(phase, (laps.get(phase) ?? 0) + now() - from);
      return done;
    },
    secondsLeft: () => timeLimit - (now() - start),
    laps: () => ({ ...Object.fromEntries(laps), total: now() - start }),
  };
}
