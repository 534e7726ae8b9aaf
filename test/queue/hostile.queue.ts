import { createHash } from "node:crypto";
import { cpSync, existsSync, mkdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { Queue } from "bullmq";
import { Redis } from "ioredis";
import { afterEach, beforeEach, expect, test } from "vitest";
import { QUEUE_PREFIX, RUN_QUEUE } from "../../src/study/runs/queue/run-queue.ts";
import { runKey } from "../../src/study/runs/run-key.ts";
import { endAll, solvedBy, start, startWorker, until } from "./commands.ts";
import { leftIn, pressFolder, RUNS } from "./press-study.ts";
import { type RedisServer, startRedis } from "./redis-server.ts";

let folder = "";
let redis: RedisServer;
let client: Redis;
let queue: Queue;

beforeEach(async () => {
  folder = pressFolder();
  redis = await startRedis();
  client = new Redis({ port: redis.port, maxRetriesPerRequest: null });
  queue = new Queue(RUN_QUEUE, { prefix: QUEUE_PREFIX, connection: client });
});
afterEach(async () => {
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

/** What a good study would offer. */
async function goodJob(): Promise<Job> {
  const names = ["catalog.json", ...["motors", "gearboxes", "drives", "supplies"].map((name) => `${name}.csv`)];
  const paths = [...names.map((name) => `catalogs/maker/${name}`), "problems/force.csv"];
  const files = await Promise.all(
    paths.map(async (path) => ({ path, sha256: await stored(readFileSync(join(folder, path), "utf8")) })),
  );
  return {
    content: JSON.parse(readFileSync(join(folder, "problems/press.json"), "utf8")),
    problem: "problems/press.json",
    files,
  };
}

async function outcome(key: string): Promise<{ readonly value: unknown; readonly why: string }> {
  await until(async () => ["completed", "failed"].includes(await queue.getJobState(key)));
  const job = await queue.getJob(key);
  return { value: job?.returnvalue, why: job?.failedReason ?? "" };
}

test("the job that the hostile ones are made from is taken", async () => {
  await startWorker(folder, redis.url);
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

test.each(ESCAPES)("%s: refused at once, nothing written, and the worker goes on", async (_name, made) => {
  const worker = await startWorker(folder, redis.url);
  const job = await goodJob();
  const { why } = await outcome(await offered(made(job, await stored("evil"))));
  expect(why).toMatch(/^refused: /);
  expect(worker.err()).toContain(why);
  expect([existsSync(join(folder, "escaped")), existsSync(join(folder, "../escaped"))]).toEqual([false, false]);
  expect((await outcome(await offered(job))).value).toMatchObject({ status: "optimal" });
});

test("a file that is not the one its hash names is refused, one that is absent is told", async () => {
  await startWorker(folder, redis.url);
  const job = await goodJob();
  await stored("part\nother\n", job.files[1]?.sha256);
  expect((await outcome(await offered(job))).why).toBe("refused: a file that is not the one its hash names");
  const absent = "0".repeat(64);
  const files = job.files.map((file, at) => (at === 1 ? { ...file, sha256: absent } : file));
  expect((await outcome(await offered({ ...job, files }))).why).toMatch(/^missing: file 000000000000 is not in/);
});

test("a file beyond the bound is not fetched", async () => {
  await startWorker(folder, redis.url);
  const job = await goodJob();
  await client.setrange(`fewframe:file:${job.files[1]?.sha256}`, 50_000_000, "x");
  expect((await outcome(await offered(job))).why).toBe("refused: a file of 50000001 bytes");
});

test.each([
  ["another problem", { content: "{}" }],
  ["no JSON", { content: "{" }],
  ["a problem nested too deep", { content: `${"[".repeat(100)}${"]".repeat(100)}` }],
  ["another engine", { engine: "highs" }],
  ["an engine that does not exist", { engine: "steam" }],
  ["a time limit that is none", { timeLimit: "soon" }],
])("a key that is not that of its run (%s) is refused", async (_name, changed) => {
  await startWorker(folder, redis.url);
  const { content, problem, files } = await goodJob();
  const key = runKey({ content, files, settings: SETTINGS });
  const data = { content: JSON.stringify(content), problem, files, engine: "simplex", timeLimit: null };
  await queue.add("run", { ...data, ...changed }, { jobId: key });
  expect((await outcome(key)).why).toMatch(/^refused: /);
});

test("a study whose run is refused ends with the reason, exit 1", async () => {
  const studying = start(folder, ["study", "studies/press.json", "--out", "out", "--queue", redis.url]);
  await until(async () => (await queue.getWaitingCount()) === RUNS, studying);
  for (const key of await client.keys("fewframe:file:*")) await client.set(key, "changed");
  await startWorker(folder, redis.url);
  expect(await studying.ended).toBe(1);
  expect(studying.err()).toContain("a worker refused a run: a file that is not the one its hash names");
});

test("catalogues by whole paths are a fault of the problem, exit 3", async () => {
  const problem = join(folder, "problems/press.json");
  writeFileSync(problem, readFileSync(problem, "utf8").replace("../catalogs/maker", join(folder, "catalogs/maker")));
  const studying = start(folder, ["study", "studies/press.json", "--out", "out", "--queue", redis.url]);
  expect(await studying.ended).toBe(3);
  expect(studying.err()).toMatch(
    /press\.json \/catalogs\/0: found ".*\/catalogs\/maker", expected a folder named as seen/,
  );
  expect(studying.err()).toMatch(/\n1 fault\n$/);
});

test("a worker of another version takes nothing, and the study says that it waits", async () => {
  const other = otherVersion();
  const stranger = start(folder, ["worker", "--queue", redis.url], other);
  await until(() => /takes runs from/.test(stranger.err()), stranger);
  const studying = start(folder, ["study", "studies/press.json", "--out", "out", "--queue", redis.url]);
  await until(() => /no worker of fewframe \S+ is at the queue/.test(studying.err()), studying);
  const own = await startWorker(folder, redis.url);
  expect(await studying.ended).toBe(0);
  expect(leftIn(join(folder, "out")).keys).toHaveLength(RUNS);
  expect(solvedBy(stranger)).toEqual([]);
  expect(solvedBy(own)).toHaveLength(RUNS);
});

/** A copy of the built program that says it is of another version. */
function otherVersion(): string {
  const [root, copy] = [join(import.meta.dirname, "../.."), join(folder, "other")];
  mkdirSync(copy);
  cpSync(join(root, "dist"), join(copy, "dist"), { recursive: true });
  for (const name of ["node_modules", "shared", "package.json"]) symlinkSync(join(root, name), join(copy, name));
  const version = join(copy, "dist/version.js");
  const text = readFileSync(version, "utf8");
  writeFileSync(version, text.replace(/VERSION = "[^"]+"/, 'VERSION = "99.0.0"'));
  expect(readFileSync(version, "utf8")).not.toBe(text);
  return copy;
}
