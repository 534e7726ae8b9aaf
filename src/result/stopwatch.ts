import type { Phase, SolveFileOptions } from "../machine/run.ts";

/** Times phases and knows how long is left. */
export interface Stopwatch {
  readonly time: <T>(phase: Phase, work: () => T | Promise<T>) => Promise<T>;
  /** [s] */
  readonly secondsLeft: () => number;
  /** The same from now on for a time of its own [s]; absent: no other limit. */
  readonly lasting: (time: number | undefined) => () => number;
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
  const secondsLeft = (): number => timeLimit - (now() - start);
  return {
    time: async (phase, work) => {
      progress({ phase });
      const from = now();
      const done = await work();
      laps.set(phase, (laps.get(phase) ?? 0) + now() - from);
      return done;
    },
    secondsLeft,
    lasting: (time = Number.POSITIVE_INFINITY) => {
      const from = now();
      return () => Math.min(secondsLeft(), time - (now() - from));
    },
    laps: () => ({ ...Object.fromEntries(laps), total: now() - start }),
  };
}
