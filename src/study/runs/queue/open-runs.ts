import type { Job, Queue, QueueEvents } from "bullmq";
import { InternalFault } from "../../../faults/fault.ts";
import { isRecord } from "../journal.ts";
import type { RunRecord, RunTask } from "../run.ts";
import { brokenRecord } from "../run-all.ts";
import { RunnerLost } from "../runner.ts";
import { bundleOf } from "./bundle.ts";
import type { FileStore } from "./file-store.ts";
import { jobOf } from "./job.ts";
import { MOST_LOSSES, QUEUE_TIMES } from "./limits.ts";
import { MISSING, messageOf, REFUSED } from "./run-queue.ts";

/** A run that was offered and has not come back. */
interface Open {
  readonly task: RunTask;
  readonly settle: (record: RunRecord | undefined) => void;
  readonly fail: (error: unknown) => void;
  /** false while it is on its way into the queue. */
  isOffered: boolean;
  /** Times it came back without a record of its own and was offered anew. */
  returns: number;
}

/** The runs of a study that lie in the queue, and what it takes to handle them. */
export interface OpenRuns {
  readonly queue: Queue;
  readonly events: QueueEvents;
  readonly files: FileStore;
  readonly open: Map<string, Open>;
  /** Runs whose records were handed over, to be removed from Redis. */
  readonly done: Set<string>;
}

/** How BullMQ begins the reason of a run that was lost with its worker too often. */
const STALLED = "job stalled";

/** Most times a run is offered anew after coming back without a record. */
const MOST_RETURNS = 3;

/** Offers a run to the workers; what comes of it is its record, or undefined when it was taken back. */
export async function offered(runs: OpenRuns, task: RunTask): Promise<RunRecord | undefined> {
  return new Promise((settle, fail) => {
    runs.open.set(task.key, { task, settle, fail, isOffered: false, returns: 0 });
    whenOpen(runs, task.key, (open) => offer(runs, open));
  });
}

/** Does something about an open run; what goes wrong is what comes of the run. */
function whenOpen(runs: OpenRuns, key: string, act: (open: Open) => Promise<void>): void {
  const open = runs.open.get(key);
  if (open === undefined) return;
  act(open).catch((error: unknown) => {
    runs.open.delete(key);
    open.fail(error instanceof RunnerLost ? error : new RunnerLost(`the queue failed: ${messageOf(error)}`));
  });
}

/** Puts a run into the queue, unless it is there already; one that is done there gives its record. */
async function offer(runs: OpenRuns, open: Open): Promise<void> {
  const { task } = open;
  open.isOffered = false;
  const bundle = bundleOf(task);
  if (!bundle.ok) throw new InternalFault("a run that no queue can take was offered to one");
  await runs.files.put(task.files);
  const state = await runs.queue.getJobState(task.key);
  if (state === "completed") {
    open.isOffered = true;
    return look(runs, task.key);
  }
  if (state === "failed") await runs.queue.remove(task.key);
  await runs.queue.add("run", jobOf(task, bundle.value), {
    jobId: task.key,
    attempts: 2,
    backoff: { type: "exponential", delay: 1000 * QUEUE_TIMES.backOff },
    removeOnComplete: { age: QUEUE_TIMES.resultAge },
    removeOnFail: { age: QUEUE_TIMES.resultAge },
  });
  open.isOffered = true;
}

/** To be called when a run may have come to its end. */
export function heard(runs: OpenRuns, key: string): void {
  whenOpen(runs, key, () => look(runs, key));
}

/** Looks how an open run stands and takes in what has come of it. */
async function look(runs: OpenRuns, key: string): Promise<void> {
  // The state first: what a job holds is complete only if it was read after its end.
  const state = await runs.queue.getJobState(key);
  if (state !== "completed" && state !== "failed" && state !== "unknown") return;
  const job: Job | undefined = await runs.queue.getJob(key);
  const open = runs.open.get(key);
  if (open?.isOffered !== true) return;
  if (job === undefined || state === "unknown") return vanished(runs, open);
  return state === "completed"
    ? completed(runs, open, job.returnvalue)
    : failed(runs, open, messageOf(job.failedReason));
}

/** Redis was emptied, or another study of the same runs took the record. */
async function vanished(runs: OpenRuns, open: Open): Promise<void> {
  runs.files.forget();
  await offer(runs, open);
}

async function completed(runs: OpenRuns, open: Open, record: unknown): Promise<void> {
  const { key } = open.task;
  if (!isRecord(record) || record.key !== key) return again(runs, open, "came back as something that is no record");
  handOver(runs, open, record);
}

async function failed(runs: OpenRuns, open: Open, why: string): Promise<void> {
  const { key } = open.task;
  if (why.startsWith(REFUSED)) throw new RunnerLost(`a worker refused a run: ${why.slice(REFUSED.length)}`);
  if (why.startsWith(MISSING)) return again(runs, open, why.slice(MISSING.length));
  handOver(runs, open, why.startsWith(STALLED) ? lostRecord(key) : brokenRecord(key, why));
}

function lostRecord(key: string): RunRecord {
  return { key, status: "failed", reason: `lost with its worker ${MOST_LOSSES + 1} times`, result: null };
}

async function again(runs: OpenRuns, open: Open, why: string): Promise<void> {
  open.isOffered = false;
  open.returns += 1;
  if (open.returns > MOST_RETURNS) throw new RunnerLost(`a run was offered ${open.returns} times: ${why}`);
  await runs.queue.remove(open.task.key);
  runs.files.forget();
  await offer(runs, open);
}

function handOver(runs: OpenRuns, { task: { key }, settle }: Open, record: RunRecord | undefined): void {
  runs.open.delete(key);
  if (record !== undefined) runs.done.add(key);
  settle(record);
}

/** Ends every open run for the same reason. */
export function failAll({ open }: OpenRuns, error: unknown): void {
  for (const { fail } of open.values()) fail(error);
  open.clear();
}

/** Looks at every open run: its end may have gone unheard. */
export async function lookAround(runs: OpenRuns): Promise<void> {
  for (const key of runs.open.keys()) {
    const state = await runs.queue.getJobState(key);
    if (state === "completed" || state === "failed" || state === "unknown") heard(runs, key);
  }
}

/** Takes back what no worker has begun. */
export async function withdraw(runs: OpenRuns): Promise<void> {
  for (const [key, open] of [...runs.open].filter(([, { isOffered }]) => isOffered)) {
    const state = await runs.queue.getJobState(key);
    const isBegun = state === "active" || state === "completed" || state === "failed";
    const isGone = state === "unknown" || (!isBegun && (await runs.queue.remove(key)) === 1);
    if (isGone && runs.open.has(key)) handOver(runs, open, undefined);
  }
}

/** A record is in the journal by the time its run is removed here: each round takes what earlier ones left. */
export async function removeDone({ queue, done }: OpenRuns): Promise<void> {
  const keys = [...done];
  for (const key of keys) {
    await queue.remove(key);
    done.delete(key);
  }
}
