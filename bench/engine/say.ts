import { writeSync } from "node:fs";
import type { Message, Seconds } from "./task.ts";

/** Does a step of the task and says when it begins and how long it took. */
export async function step<T>(name: string, work: () => T | Promise<T>): Promise<T> {
  say({ kind: "begin", step: name });
  const begin = secondsNow();
  const value = await work();
  const now = secondsNow();
  const seconds = { clock: now.clock - begin.clock, processor: now.processor - begin.processor };
  say({ kind: "end", step: name, seconds });
  return value;
}

/** Says how many of something there are. */
export function sayCount(name: string, count: number): void {
  say({ kind: "count", name, count });
}

/** At once, even when nothing else gets its turn before the process ends. */
export function say(message: Message): void {
  writeSync(1, `${JSON.stringify(message)}\n`);
}

function secondsNow(): Seconds {
  const { user, system } = process.cpuUsage();
  return { clock: performance.now() / 1000, processor: (user + system) / 1e6 };
}
