import { createHash } from "node:crypto";
import { rmSync } from "node:fs";
import { mkdir, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import type { InputFile } from "../../../machine/problem.ts";
import { BUNDLE_LIMITS } from "./limits.ts";

/** Fetches a file by its hash, of at most so many bytes; what comes has been held to its hash. */
export type Fetch = (sha256: string, most: number) => Promise<Buffer>;

/** Folders that hold the files of runs, each made once and kept while it is likely to be needed. */
export interface BundleFolders {
  /** Works in the folder of these files; it stays as long as that takes. */
  readonly within: <T>(files: readonly InputFile[], work: (folder: string) => Promise<T>) => Promise<T>;
  /** Removes everything, at once. */
  readonly remove: () => void;
}

/** Folders kept that nobody works in. */
const KEPT = 4;

interface Entry {
  readonly folder: Promise<string>;
  users: number;
}

/** Makes folders below a new one that only this user can read. Paths of files must have been checked to stay below it. */
export async function bundleFolders(fetch: Fetch): Promise<BundleFolders> {
  const root = await mkdtemp(join(tmpdir(), "fewframe-worker-"));
  const entries = new Map<string, Entry>();
  const enter = (files: readonly InputFile[]): Entry => {
    const id = idOf(files);
    const entry = entries.get(id) ?? { folder: made(join(root, id), files, fetch), users: 0 };
    entries.delete(id);
    entries.set(id, entry);
    entry.users += 1;
    entry.folder.catch(() => {
      if (entries.get(id) === entry) entries.delete(id);
    });
    return entry;
  };
  const tidy = async (): Promise<void> => {
    const idle = [...entries].filter(([, { users }]) => users === 0);
    for (const [id, { folder }] of idle.slice(0, Math.max(0, idle.length - KEPT))) {
      entries.delete(id);
      await rm(await folder, { recursive: true, force: true });
    }
  };
  return {
    within: async (files, work) => {
      const entry = enter(files);
      try {
        return await work(await entry.folder);
      } finally {
        entry.users -= 1;
        await tidy();
      }
    },
    remove: () => rmSync(root, { recursive: true, force: true }),
  };
}

function idOf(files: readonly InputFile[]): string {
  const list = files.map(({ path, sha256 }) => [path, sha256]);
  return createHash("sha256").update(JSON.stringify(list)).digest("hex").slice(0, 32);
}

/** Writes the files into a folder of a name never used before, so that nothing can be there already. */
async function made(base: string, files: readonly InputFile[], fetch: Fetch): Promise<string> {
  const folder = await mkdtemp(`${base}-`);
  let left: number = BUNDLE_LIMITS.bundleBytes;
  for (const { path, sha256 } of files) {
    const bytes = await fetch(sha256, left);
    left -= bytes.length;
    const file = join(folder, path);
    await mkdir(dirname(file), { recursive: true });
    await writeFile(file, bytes, { flag: "wx", mode: 0o600 });
  }
  return folder;
}
