import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, rmSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";
import { Redis } from "ioredis";

/** A Redis that keeps nothing on disk. */
export interface RedisServer {
  readonly port: number;
  readonly url: string;
  readonly pid: number;
  readonly stop: () => Promise<void>;
}

/** A port nobody listens on at the moment. */
export async function freePort(): Promise<number> {
  const probe = createServer().listen(0, "127.0.0.1");
  await once(probe, "listening");
  const address = probe.address();
  probe.close();
  await once(probe, "close");
  if (address === null || typeof address === "string") throw new Error("no port");
  return address.port;
}

/**
 * Starts a Redis and waits until it answers.
 *
 * @throws when there is no redis-server: these tests are never skipped
 */
export async function startRedis(given?: number, password?: string): Promise<RedisServer> {
  const port = given ?? (await freePort());
  const folder = mkdtempSync(join(tmpdir(), "fewframe-redis-"));
  const own = ["--port", String(port), "--bind", "127.0.0.1", "--dir", folder, "--save", "", "--appendonly", "no"];
  const args = password === undefined ? own : [...own, "--requirepass", password];
  const server = spawn("redis-server", args, { stdio: "ignore" });
  await Promise.race([answers(port, password), failure(server)]);
  return {
    port,
    url: password === undefined ? `redis://127.0.0.1:${port}` : `redis://:${password}@127.0.0.1:${port}`,
    pid: server.pid ?? 0,
    stop: async () => {
      if (server.exitCode === null && server.signalCode === null) {
        server.kill("SIGKILL");
        await once(server, "exit");
      }
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

async function failure(server: ChildProcess): Promise<never> {
  return new Promise((_, reject) => {
    server.once("error", (error) => {
      reject(
        new Error(`redis-server cannot be started (Debian and Ubuntu: apt-get install redis-server): ${error.message}`),
      );
    });
    server.once("exit", (code) => reject(new Error(`redis-server ended at once, exit ${code}`)));
  });
}

async function answers(port: number, password: string | undefined): Promise<void> {
  const redis = new Redis({ port, ...(password === undefined ? {} : { password }), retryStrategy: () => 50 });
  redis.on("error", () => undefined);
  try {
    while ((await redis.ping().catch(() => "")) !== "PONG") await sleep(20);
  } finally {
    redis.disconnect();
  }
}
