import type { Redis } from "ioredis";
import { RunnerLost } from "../runner.ts";
import type { QueueAddress } from "./address.ts";

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

/** What happens to a connection. */
export interface ConnectionWatch {
  /** Longest that Redis may be silent before everything ends [s]. */
  readonly patience: number;
  readonly tell: (message: string) => void;
}

/** Longest wait for a first answer, and for any later one before it is called missing [ms]. */
const FIRST_ANSWER = 5_000;
const LATE = 3_000;
const BETWEEN_PINGS = 1_000;
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
  const connect = (socketTimeout = SILENCE): Redis => {
    const retryStrategy = (): number | null => (state.isOver ? null : BETWEEN_ATTEMPTS);
    const redis = new Connection({ ...optionsOf(address), socketTimeout, retryStrategy, maxRetriesPerRequest: null });
    // What it means for the work is told by the watch; unheard, the event would end the process.
    redis.on("error", () => undefined);
    open.push(redis);
    return redis;
  };
  const watchdog = watched(connect(LATE), address, watch);
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

interface Watchdog {
  readonly lost: Promise<never>;
  readonly stop: () => void;
}

/** Asks Redis for a sign of life again and again; a connection that only seems to be open is found out, too. */
function watched(redis: Redis, { label }: QueueAddress, { patience, tell }: ConnectionWatch): Watchdog {
  let answered = performance.now();
  let isAsking = false;
  let isMissed = false;
  const ask = (): void => {
    if (isAsking) return;
    isAsking = true;
    const heard = (): void => {
      isAsking = false;
      answered = performance.now();
      if (isMissed) tell(`the queue at ${label} answers again`);
      isMissed = false;
    };
    const failed = (): void => {
      isAsking = false;
    };
    redis.ping().then(heard, failed);
  };
  let stop = (): void => undefined;
  const lost = new Promise<never>((_, reject) => {
    const timer = setInterval(() => {
      const silent = performance.now() - answered;
      if (silent > LATE && !isMissed) {
        isMissed = true;
        tell(`the queue at ${label} does not answer; trying for ${patience} s`);
      }
      if (silent > 1000 * patience) reject(new RunnerLost(`the queue at ${label} has not answered for ${patience} s`));
      ask();
    }, BETWEEN_PINGS);
    stop = () => clearInterval(timer);
  });
  lost.catch(() => stop());
  return { lost, stop };
}
