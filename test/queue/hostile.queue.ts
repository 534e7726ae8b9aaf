import { createHash } from "node:crypto";
import { existsSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { Queue } from "bullmq";
import { Redis } from "ioredis";
import { afterAll, beforeAll, expect, test } from "vitest";
import { QUEUE_PREFIX, RUN_QUEUE } from "../../src/study/runs/queue/run-queue.ts";
import { runKey } from "../../src/study/runs/run-key.ts";
import { endAll, type Running, startWorker, until } from "./commands.ts";
import { pressFolder } from "./press-study.ts";
import { type RedisServer, startRedis } from "./redis-server.ts";

let folder = "";
let redis: RedisServer;
let client: Redis;
let queue: Queue;
let worker: Running;

beforeAll(async () => {
  folder = pressFolder();
  redis = await startRedis();
  client = new Redis({ port: redis.port, maxRetriesPerRequest: null });
  queue = new Queue(RUN_QUEUE, { prefix: QUEUE_PREFIX, connection: client });
  worker = await startWorker(folder, redis.url);
});
afterAll(async () => {
  await endAll();
  client.disconnect();
  await redis.stop();
  rmSync(folder, { recursive: true });
});

const SETTINGS = { engine: "simplex", timeLimit: Number.POSITIVE_INFINITY } as const;

interface Job {
  readonly content: unknown;
  readonly problem: string;
  readonly files: { readonly path: string; readonly sha256: string }[];
}

/** A run with its right key, whatever else is in it, whose files lie in Redis. */
async function offered({ content, problem, files }: Job, key = runKey({ content, files, settings: SETTINGS })) {
  const data = { content: JSON.stringify(content), problem, files, engine: "simplex", timeLimit: null };
  await queue.add("run", data, { jobId: key });
  return key;
}

async function stored(bytes: string, under = createHash("sha256").update(bytes).digest("hex")): Promise<string> {
  await client.set(`fewframe:file:${under}`, bytes);
  return under;
}

let made = 0;

/** What a good study would offer, a new run each time. */
async function goodJob(): Promise<Job> {
  const names = ["catalog.json", ...["motors", "gearboxes", "drives", "supplies"].map((name) => `${name}.csv`)];
  const paths = [...names.map((name) => `catalogs/maker/${name}`), "problems/force.csv"];
  const files = await Promise.all(
    paths.map(async (path) => ({ path, sha256: await stored(readFileSync(join(folder, path), "utf8")) })),
  );
  made += 1;
  const content: object = JSON.parse(readFileSync(join(folder, "problems/press.json"), "utf8"));
  return { content: { ...content, title: `press ${made}` }, problem: "problems/press.json", files };
}

async function outcome(key: string): Promise<{ readonly value: unknown; readonly why: string }> {
  await until(async () => ["completed", "failed"].includes(await queue.getJobState(key)));
  const job = await queue.getJob(key);
  return { value: job?.returnvalue, why: job?.failedReason ?? "" };
}

test("the job that the hostile ones are made from is taken", async () => {
  const { value, why } = await outcome(await offered(await goodJob()));
  expect(why).toBe("");
  expect(value).toMatchObject({ status: "optimal" });
});

const ESCAPES: [string, (job: Job, evil: string) => Job][] = [
  ["a file above the folder", (job, sha256) => ({ ...job, files: [...job.files, { path: "../../escaped", sha256 }] })],
  [
    "a file by a whole path",
    (job, sha256) => ({ ...job, files: [...job.files, { path: `${folder}/escaped`, sha256 }] }),
  ],
  ["a file by a way round", (job, sha256) => ({ ...job, files: [...job.files, { path: "a/../../escaped", sha256 }] })],
  [
    "a file by another system's rules",
    (job, sha256) => ({ ...job, files: [...job.files, { path: "..\\escaped", sha256 }] }),
  ],
  ["a problem above the folder", (job) => ({ ...job, problem: "../problems/press.json" })],
  [
    "a catalogue above the folder",
    (job) => ({ ...job, content: { ...(job.content as object), catalogs: ["../../../x"] } }),
  ],
  [
    "a catalogue by a whole path",
    (job) => ({ ...job, content: { ...(job.content as object), catalogs: [`${folder}/catalogs/maker`] } }),
  ],
  [
    "files that the problem does not name",
    (job, sha256) => ({ ...job, files: [...job.files, { path: "more", sha256 }] }),
  ],
  [
    "files of other names",
    (job) => ({ ...job, files: job.files.map((file) => ({ ...file, path: file.path.replace("motors", "engines") })) }),
  ],
  [
    "too many files",
    (job, sha256) => ({ ...job, files: Array.from({ length: 1001 }, (_, at) => ({ path: `f${at}`, sha256 })) }),
  ],
];

test.each(ESCAPES)("%s: refused at once, nothing written, and the worker goes on", async (_name, spoilt) => {
  const job = await goodJob();
  const { why } = await outcome(await offered(spoilt(job, await stored("evil"))));
  expect(why).toMatch(/^refused: /);
  expect(worker.err()).toContain(why);
  expect([existsSync(join(folder, "escaped")), existsSync(join(folder, "../escaped"))]).toEqual([false, false]);
  expect((await outcome(await offered(await goodJob()))).value).toMatchObject({ status: "optimal" });
});

/** A job whose second file has a hash that no worker has met. */
async function jobWithFile(sha256: string): Promise<Job> {
  const job = await goodJob();
  return { ...job, files: job.files.map((file, at) => (at === 1 ? { ...file, sha256 } : file)) };
}

test("a file that is not the one its hash names is refused", async () => {
  const sha256 = await stored("part\nother\n", "1".repeat(64));
  const { why } = await outcome(await offered(await jobWithFile(sha256)));
  expect(why).toBe("refused: a file that is not the one its hash names");
});

test("a file that is not there is told", async () => {
  const { why } = await outcome(await offered(await jobWithFile("0".repeat(64))));
  expect(why).toBe("missing: file 000000000000 is not in the queue's Redis");
});

test("a file beyond the bound is not fetched", async () => {
  const sha256 = "2".repeat(64);
  await client.setrange(`fewframe:file:${sha256}`, 50_000_000, "x");
  expect((await outcome(await offered(await jobWithFile(sha256)))).why).toBe("refused: a file of 50000001 bytes");
});

test.each([
  ["another problem", { content: "{}" }],
  ["no JSON", { content: "{" }],
  ["a problem nested too deep", { content: `${"[".repeat(100)}${"]".repeat(100)}` }],
  ["another engine", { engine: "highs" }],
  ["an engine that does not exist", { engine: "steam" }],
  ["a time limit that is none", { timeLimit: "soon" }],
])("a key that is not that of its run (%s) is refused", async (_name, changed) => {
  const { content, problem, files } = await goodJob();
  const key = runKey({ content, files, settings: SETTINGS });
  const data = { content: JSON.stringify(content), problem, files, engine: "simplex", timeLimit: null };
  await queue.add("run", { ...data, ...changed }, { jobId: key });
  expect((await outcome(key)).why).toMatch(/^refused: /);
});
