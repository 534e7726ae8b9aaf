import { join } from "node:path";
import type { Job, Worker } from "bullmq";
import type { RunRecord } from "../run.ts";
import { threadPool } from "../thread-runner.ts";
import type { QueueAddress } from "./address.ts";
import { bundleFolders } from "./bundle-folders.ts";
import type { BundleTask } from "./bundle-thread.ts";
import { openConnection, type QueueConnection } from "./connection.ts";
import { FileMissing, FileRefused, fetchFile } from "./file-store.ts";
import { isRefusal, type TakenRun, takenRun } from "./job.ts";
import { MOST_LOSSES, QUEUE_TIMES } from "./limits.ts";
import { MISSING, messageOf, QUEUE_PREFIX, REFUSED, RUN_QUEUE } from "./run-queue.ts";

/** How a worker takes runs. */
export interface QueueWorkerOptions {
  /** Runs solved at a time. */
  readonly jobs: number;
  /** Under which Redis lists it. */
  readonly name: string;
  /** Longest that Redis may be silent before the worker ends [s]. */
  readonly patience: number;
  /** The worker ends when no run came for so long [s]; Infinity: never. */
  readonly untilIdle: number;
  /** Once aborted, no more runs are taken, and those under way are finished. */
  readonly stop: AbortSignal;
  readonly tell: (message: string) => void;
  /** A run was solved, after so many seconds. */
  readonly onRun: (record: RunRecord, seconds: number) => void;
}

/** What a worker works with. */
interface Shop {
  readonly solve: (run: TakenRun) => Promise<RunRecord>;
  readonly close: () => Promise<void>;
}

/**
 * Solves runs from a queue until told to stop. Threads solve, so that this one can go on renewing the worker's hold on its
 * runs: a worker that stops doing so counts as lost, and its runs go to others.
 *
 * @throws RunnerLost when Redis cannot be reached, or is silent for too long
 */
export async function queueWorker(address: QueueAddress, options: QueueWorkerOptions): Promise<void> {
  const connection = await openConnection(address, options);
  const shop = await openShop(connection, options.jobs);
  const activity: Activity = { running: 0, since: performance.now() };
  const worker = await openWorker(connection, counted(shop, activity), options);
  activity.since = performance.now();
  options.tell(`worker ${options.name} takes runs from ${address.label}, ${options.jobs} at a time`);
  try {
    await Promise.race([untilDone(activity, options), connection.lost]);
    await Promise.race([worker.close(), connection.lost]);
  } finally {
    // By force and unwaited for: with Redis gone, neither would come to its end.
    for (const ending of [worker.close(true), worker.disconnect()]) ending.catch(() => undefined);
    connection.close();
    await shop.close();
  }
}

async function openShop(connection: QueueConnection, threads: number): Promise<Shop> {
  const redis = connection.connect();
  const folders = await bundleFolders(async (sha256, most) => fetchFile(redis, sha256, most));
  process.on("exit", folders.remove);
  const pool = await threadPool<BundleTask>(new URL("./bundle-thread.js", import.meta.url), threads);
  return {
    solve: async (run) =>
      folders.within(run.files, async (folder) => {
        const { key, problem, content, files, settings } = run;
        const task = { key, path: join(folder, problem), content, files, settings };
        return pool.run({ folder, task });
      }),
    close: async () => {
      await pool.destroy();
      process.off("exit", folders.remove);
      folders.remove();
    },
  };
}

/** What a worker is at. */
interface Activity {
  running: number;
  /** When a run last came or ended [ms]. */
  since: number;
}

function counted({ solve, close }: Shop, activity: Activity): Shop {
  return {
    close,
    solve: async (run) => {
      activity.running += 1;
      try {
        return await solve(run);
      } finally {
        activity.running -= 1;
        activity.since = performance.now();
      }
    },
  };
}

async function openWorker(connection: QueueConnection, shop: Shop, options: QueueWorkerOptions): Promise<Worker> {
  const { UnrecoverableError, Worker: QueueWorker } = await import("bullmq");
  const work = async ({ id, data }: Job): Promise<RunRecord> => {
    const start = performance.now();
    try {
      const run = takenRun(id ?? "", data);
      if (isRefusal(run)) throw new FileRefused(run.refused);
      const record = await shop.solve(run);
      options.onRun(record, (performance.now() - start) / 1000);
      return record;
    } catch (error) {
      const why = reasonOf(error);
      options.tell(`run ${String(id).slice(0, 12)}: ${why}`);
      throw why.startsWith(REFUSED) ? new UnrecoverableError(why) : new Error(why, { cause: error });
    }
  };
  const worker = new QueueWorker(RUN_QUEUE, work, {
    prefix: QUEUE_PREFIX,
    connection: connection.connect(),
    name: options.name,
    concurrency: options.jobs,
    lockDuration: 1000 * QUEUE_TIMES.lock,
    stalledInterval: 1000 * QUEUE_TIMES.stalledCheck,
    maxStalledCount: MOST_LOSSES,
  });
  worker.on("error", () => undefined);
  return worker;
}

function reasonOf(error: unknown): string {
  const message = messageOf(error);
  if (error instanceof FileRefused) return `${REFUSED}${message}`;
  return error instanceof FileMissing ? `${MISSING}${message}` : message;
}

const LOOK = 250;

/** Waits until the worker is told to stop, or was idle for as long as it may. */
async function untilDone(activity: Activity, { untilIdle, stop }: QueueWorkerOptions): Promise<void> {
  return new Promise((resolve) => {
    const timer = setInterval(() => {
      const isIdle = activity.running === 0 && performance.now() - activity.since > 1000 * untilIdle;
      if (!stop.aborted && !isIdle) return;
      clearInterval(timer);
      resolve();
    }, LOOK);
    timer.unref();
  });
}
