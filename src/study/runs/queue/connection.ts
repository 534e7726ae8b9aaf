import type { Redis } from "ioredis";
import { RunnerLost } from "../runner.ts";
import type { QueueAddress } from "./address.ts";
import { type ConnectionWatch, watched } from "./watchdog.ts";

/** Connections to one Redis, watched: what is done there either goes on or ends within a stated time. */
export interface QueueConnection {
  readonly address: QueueAddress;
  /** One more connection of its own. */
  readonly connect: () => Redis;
  /** Settles only by failing: Redis has not answered for as long as it may. */
  readonly lost: Promise<never>;
  /** Ends every connection. */
  readonly close: () => void;
}

/** Longest wait for a first answer, and for one to a sign of life before it is asked for on a new connection [ms]. */
const FIRST_ANSWER = 5_000;
const LATE = 5_000;
const BETWEEN_ATTEMPTS = 500;
/** Longest silence of a connection that waits for an answer [ms]; above that of BullMQ's blocking reads. */
const SILENCE = 30_000;

/**
 * Connects to Redis and watches it from then on.
 *
 * @throws RunnerLost when it cannot be reached, refuses the user, or is none
 */
export async function openConnection(address: QueueAddress, watch: ConnectionWatch): Promise<QueueConnection> {
  const { Redis: Connection } = await import("ioredis");
  await tryOnce(
    new Connection({ ...optionsOf(address), connectTimeout: FIRST_ANSWER, retryStrategy: () => null }),
    address,
  );
  const open: Redis[] = [];
  const state = { isOver: false };
  const retryStrategy = (): number | null => (state.isOver ? null : BETWEEN_ATTEMPTS);
  const connect = (socketTimeout = SILENCE): Redis => {
    const redis = new Connection({ ...optionsOf(address), socketTimeout, retryStrategy, maxRetriesPerRequest: null });
    // What it means for the work is told by the watch; unheard, the event would end the process.
    redis.on("error", () => undefined);
    open.push(redis);
    return redis;
  };
  const watchdog = watched(connect(LATE), address.label, watch);
  const close = (): void => {
    state.isOver = true;
    watchdog.stop();
    for (const redis of open) redis.disconnect();
  };
  return { address, connect: () => connect(), lost: watchdog.lost, close };
}

interface Options {
  readonly host: string;
  readonly port: number;
  readonly db: number;
  readonly username?: string;
  readonly password?: string;
  readonly tls?: { readonly servername: string };
  readonly lazyConnect?: boolean;
}

function optionsOf({ host, port, db, username, password, isEncrypted }: QueueAddress): Options {
  return {
    host,
    port,
    db,
    ...(username === undefined ? {} : { username }),
    ...(password === undefined ? {} : { password }),
    ...(isEncrypted ? { tls: { servername: host } } : {}),
  };
}

async function tryOnce(redis: Redis, address: QueueAddress): Promise<void> {
  let why = "no answer";
  redis.on("error", (error) => {
    why = reasonOf(error);
  });
  const late = new Promise<never>((_, reject) => {
    setTimeout(() => reject(new Error("no answer")), FIRST_ANSWER).unref();
  });
  try {
    await Promise.race([redis.ping(), late]);
  } catch (error) {
    const own = reasonOf(error);
    const reason = why === "no answer" && own !== "" ? own : why;
    throw new RunnerLost(`cannot use the queue at ${address.label}: ${reason}`);
  } finally {
    redis.disconnect();
  }
}

/** Messages of the system, of Redis and of TLS hold no password. */
function reasonOf(error: unknown): string {
  if (!(error instanceof Error)) return String(error);
  if (error.message !== "") return error.message;
  return "code" in error ? String(error.code) : error.name;
}
