import { cpSync, mkdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { Queue } from "bullmq";
import { Redis } from "ioredis";
import { afterEach, beforeEach, expect, test } from "vitest";
import { QUEUE_PREFIX, RUN_QUEUE } from "../../src/study/runs/queue/run-queue.ts";
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
