import { type Command, Option } from "commander";
import type { QueueAddress } from "../index.ts";

/** `--queue <url>`. What is given is never printed: it may hold a password. */
export function queueOption(): Option {
  return new Option("--queue <url>", "Redis that hands runs to workers: redis://host:port/database, rediss:// for TLS");
}

/** Reads what `--queue` gave; a slip ends the command with the exit code of a bad command line. */
export async function queueOf(text: string, command: Command): Promise<QueueAddress> {
  const { queueAddress } = await import("../index.ts");
  const address = queueAddress(text);
  if (address !== undefined) return address;
  return command.error(
    "error: option '--queue <url>' is no address of a queue, such as redis://queue.example:6379\n(what was given is not shown, because it may hold a password)",
    { exitCode: 2 },
  );
}
