import { VERSION } from "../../../version.ts";
import type { RunRecord, RunTask } from "../run.ts";
import { RunnerLost } from "../runner.ts";
import type { QueueConnection } from "./connection.ts";
import { fileStore } from "./file-store.ts";
import { QUEUE_TIMES } from "./limits.ts";
import { failAll, heard, lookAround, type OpenRuns, offered, removeDone, withdraw } from "./open-runs.ts";
import type { QueueRunnerOptions } from "./queue-runner.ts";
import { QUEUE_PREFIX, RUN_QUEUE } from "./run-queue.ts";

/** Where a study hands out its runs and takes in their records. */
export interface Desk {
  readonly run: (task: RunTask) => Promise<RunRecord | undefined>;
  readonly close: () => Promise<void>;
}

const TICK = 500;

/** Opens the queue for a study. */
export async function openDesk(connection: QueueConnection, options: QueueRunnerOptions): Promise<Desk> {
  const { Queue, QueueEvents } = await import("bullmq");
  const opts = { prefix: QUEUE_PREFIX, streams: { events: { maxLen: EVENTS_KEPT } } };
  const runs: OpenRuns = {
    queue: new Queue(RUN_QUEUE, { ...opts, connection: connection.connect() }),
    events: new QueueEvents(RUN_QUEUE, { ...opts, connection: connection.connect() }),
    files: fileStore(connection.connect()),
    open: new Map(),
    done: new Set(),
  };
  // Connections are watched elsewhere; unheard, these events would end the process.
  runs.queue.on("error", () => undefined);
  runs.events.on("error", () => undefined);
  let gone: unknown;
  const end = (error: unknown): void => {
    gone = error;
    failAll(runs, error);
  };
  connection.lost.catch(end);
  runs.events.on("completed", ({ jobId }) => heard(runs, jobId));
  runs.events.on("failed", ({ jobId }) => heard(runs, jobId));
  const rounds = startRounds(runs, { ...options, end });
  return {
    run: async (task) => {
      if (gone !== undefined) throw gone;
      return offered(runs, task);
    },
    close: async () => {
      rounds.stop();
      await Promise.race([leave(runs), connection.lost]).catch(() => undefined);
      // Unwaited for: with Redis gone, these would not come to their end.
      for (const part of [runs.queue, runs.events]) {
        for (const ending of [part.close(), part.disconnect()]) ending.catch(() => undefined);
      }
      connection.close();
    },
  };
}

/** Events kept in Redis; one that goes unheard is found by looking. */
const EVENTS_KEPT = 500;

interface Rounds extends QueueRunnerOptions {
  /** Ends the study's work with the queue. */
  readonly end: (error: RunnerLost) => void;
}

/** What is seen to from time to time. */
function startRounds(runs: OpenRuns, options: Rounds): { readonly stop: () => void } {
  const rounds = [
    { every: TICK, act: async () => removeDone(runs) },
    { every: TICK, act: async () => (options.aborted() ? withdraw(runs) : undefined) },
    { every: 1000 * QUEUE_TIMES.look, act: async () => lookAround(runs) },
    { every: 1000 * QUEUE_TIMES.fileRenewal, act: async () => runs.files.renew() },
    { every: 1000 * QUEUE_TIMES.noWorkerNote, act: async () => noteNoWorker(runs, options.tell) },
  ];
  const timers = rounds.map(({ every, act }) => {
    let isBusy = false;
    const once = (): void => {
      if (isBusy) return;
      isBusy = true;
      const free = (): void => {
        isBusy = false;
      };
      act().then(free, (error: unknown) => {
        free();
        if (error instanceof RunnerLost) options.end(error);
      });
    };
    return setInterval(once, every);
  });
  setTimeout(() => void noteNoWorker(runs, options.tell).catch(() => undefined), FIRST_NOTE).unref();
  return { stop: () => timers.forEach((timer) => clearInterval(timer)) };
}

const FIRST_NOTE = 3000;

async function noteNoWorker({ queue, open }: OpenRuns, tell: QueueRunnerOptions["tell"]): Promise<void> {
  if (open.size > 0 && (await queue.getWorkersCount()) === 0) {
    tell(`no worker of fewframe ${VERSION} is at the queue; the runs wait for one`);
  }
}

/** Leaves nothing behind but what others wait for. */
async function leave(runs: OpenRuns): Promise<void> {
  await removeDone(runs);
  const { queue, events } = runs;
  for (const state of ["completed", "failed"] as const) await queue.clean(1000 * QUEUE_TIMES.resultAge, 1000, state);
  const counts = await queue.getJobCounts("wait", "active", "delayed", "prioritized");
  if (Object.values(counts).every((count) => count === 0)) await queue.trimEvents(0);
  await Promise.all([queue.close(), events.close()]);
}
