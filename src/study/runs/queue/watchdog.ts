import type { Redis } from "ioredis";
import { RunnerLost } from "../runner.ts";

/** How a connection is watched. */
export interface ConnectionWatch {
  /** Longest that Redis may be silent before everything ends [s]. */
  readonly patience: number;
  readonly tell: (message: string) => void;
}

/** A watch that goes on until stopped. */
export interface Watchdog {
  /** Settles only by failing. */
  readonly lost: Promise<never>;
  readonly stop: () => void;
}

const BETWEEN_PINGS = 1_000;
/** Silence that is told [ms]. */
const NOTABLE = 5_000;

/** Asks Redis for a sign of life again and again; a connection that only seems to be open is found out, too. */
export function watched(redis: Pick<Redis, "ping">, label: string, { patience, tell }: ConnectionWatch): Watchdog {
  const silence = silenceSince();
  let isTold = false;
  const heard = (): void => {
    silence.end();
    if (isTold) tell(`the queue at ${label} answers again`);
    isTold = false;
  };
  const ask = asker(redis, heard);
  let timer: NodeJS.Timeout | undefined;
  const stop = (): void => clearInterval(timer);
  const lost = new Promise<never>((_, reject) => {
    timer = setInterval(() => {
      const silent = silence.grow();
      if (silent > 1000 * patience) reject(new RunnerLost(`the queue at ${label} has not answered for ${patience} s`));
      else if (silent > NOTABLE && !isTold) {
        isTold = true;
        tell(`the queue at ${label} does not answer; trying for ${patience} s`);
      }
      ask();
    }, BETWEEN_PINGS);
  });
  lost.catch(stop);
  return { lost, stop };
}

/** Asks, unless an answer is still awaited. */
function asker(redis: Pick<Redis, "ping">, heard: () => void): () => void {
  let isAsking = false;
  const answered = (): void => {
    isAsking = false;
    heard();
  };
  const failed = (): void => {
    isAsking = false;
  };
  return () => {
    if (isAsking) return;
    isAsking = true;
    redis.ping().then(answered, failed);
  };
}

interface Silence {
  /** Counts the time since the last call, and returns all of it [ms]. */
  readonly grow: () => number;
  readonly end: () => void;
}

/** Time without an answer. Where this process itself stood still, little of it counts: nobody was there to hear one. */
function silenceSince(): Silence {
  let silent = 0;
  let last = performance.now();
  return {
    grow: () => {
      const now = performance.now();
      silent += Math.min(now - last, 2 * BETWEEN_PINGS);
      last = now;
      return silent;
    },
    end: () => {
      silent = 0;
    },
  };
}
