import { createHash } from "node:crypto";
import { readFile } from "node:fs/promises";
import type { Redis } from "ioredis";
import type { InputFile } from "../../../machine/problem.ts";
import { RunnerLost } from "../runner.ts";
import { BUNDLE_LIMITS, QUEUE_TIMES } from "./limits.ts";

/** Input files in Redis, by the hash of their content. */
const KEY = "fewframe:file:";

/** Puts files into Redis and keeps them there while they are needed. */
export interface FileStore {
  /** @throws RunnerLost when a file is not what it was when the study began */
  readonly put: (files: readonly InputFile[]) => Promise<void>;
  /** Says of every file put so far that it is still needed. */
  readonly renew: () => Promise<void>;
  /** The next `put` puts all its files anew, because Redis may have lost them. */
  readonly forget: () => void;
}

export function fileStore(redis: Redis): FileStore {
  const stored = new Map<string, Promise<void>>();
  const paths = new Map<string, string>();
  const put = async (files: readonly InputFile[]): Promise<void> => {
    for (const { path, sha256 } of files) {
      paths.set(sha256, path);
      const storing = stored.get(sha256) ?? store(redis, { path, sha256 });
      stored.set(sha256, storing);
      await storing;
    }
  };
  return {
    put,
    renew: async () => {
      for (const [sha256, path] of paths) {
        const isThere = (await redis.expire(KEY + sha256, QUEUE_TIMES.fileExpiry)) === 1;
        if (!isThere) await store(redis, { path, sha256 });
      }
    },
    forget: () => stored.clear(),
  };
}

async function store(redis: Redis, { path, sha256 }: InputFile): Promise<void> {
  const bytes = await readFile(path).catch(() => undefined);
  if (bytes === undefined || hashOf(bytes) !== sha256) {
    throw new RunnerLost(`${path} changed or vanished while the study runs; begin it again`);
  }
  await redis.set(KEY + sha256, bytes, "EX", QUEUE_TIMES.fileExpiry);
}

/** A file could not be had from Redis: offered again with its files, the run may go well. */
export class FileMissing extends Error {
  override readonly name = "FileMissing";
}

/** What stands for a file in Redis is not that file. */
export class FileRefused extends Error {
  override readonly name = "FileRefused";
}

/**
 * Fetches a file of at most so many bytes.
 *
 * @throws FileMissing, FileRefused
 */
export async function fetchFile(redis: Redis, sha256: string, most: number): Promise<Buffer> {
  const size = await redis.strlen(KEY + sha256);
  if (size > Math.min(most, BUNDLE_LIMITS.fileBytes)) throw new FileRefused(`a file of ${size} bytes`);
  const bytes = await redis.getBuffer(KEY + sha256);
  if (bytes === null) throw new FileMissing(`file ${sha256.slice(0, 12)} is not in the queue's Redis`);
  if (hashOf(bytes) !== sha256) throw new FileRefused(`a file that is not the one its hash names`);
  return bytes;
}

function hashOf(bytes: Buffer): string {
  return createHash("sha256").update(bytes).digest("hex");
}
