import {
  appendFileSync,
  closeSync,
  ftruncateSync,
  mkdirSync,
  openSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { dirname } from "node:path";
import { isObject } from "../../input/node.ts";
import type { RunRecord } from "./run.ts";

/** The records of a study as they come, one JSON line each, so that a study that ends at any moment loses no finished run. */
export interface Journal {
  readonly known: ReadonlyMap<string, RunRecord>;
  /** Adds a record; one whose key is there already is left out. */
  readonly add: (record: RunRecord) => void;
  readonly close: () => void;
}

/** Another process works on the same study. */
export class StudyInUse extends Error {
  override readonly name = "StudyInUse";
}

/**
 * Opens a journal for adding, making it and its folder where needed. A last line that a sudden end left unfinished is cut
 * off; lines that are no records are passed over.
 *
 * @throws StudyInUse while another process that is alive has it open
 */
export function openJournal(path: string): Journal {
  mkdirSync(dirname(path), { recursive: true });
  const release = lock(`${path}.lock`);
  const known = new Map<string, RunRecord>();
  const file = openSync(path, "a+");
  const bytes = readFileSync(path);
  const whole = bytes.lastIndexOf(NEWLINE) + 1;
  if (whole < bytes.length) ftruncateSync(file, whole);
  for (const line of bytes.subarray(0, whole).toString("utf8").split("\n")) {
    const record = recordOf(line);
    if (record !== undefined) known.set(record.key, record);
  }
  return {
    known,
    add: (record) => {
      if (known.has(record.key)) return;
      appendFileSync(file, `${JSON.stringify(record)}\n`);
      known.set(record.key, record);
    },
    close: () => {
      closeSync(file);
      release();
    },
  };
}

const NEWLINE = "\n".charCodeAt(0);

function recordOf(line: string): RunRecord | undefined {
  try {
    const record: unknown = JSON.parse(line);
    return isRecord(record) ? record : undefined;
  } catch {
    return undefined;
  }
}

/** What has a key, a status and a result was written by this program. */
export function isRecord(value: unknown): value is RunRecord {
  return (
    isObject(value) && typeof value["key"] === "string" && typeof value["status"] === "string" && "result" in value
  );
}

/** Holds a file with the number of this process; one left behind by a process that is gone is taken over. */
function lock(path: string): () => void {
  try {
    writeFileSync(path, String(process.pid), { flag: "wx" });
  } catch {
    const owner = Number(readFileSync(path, "utf8"));
    if (owner !== process.pid && isAlive(owner)) {
      throw new StudyInUse(`process ${owner} works on this study; it holds ${path}`);
    }
    writeFileSync(path, String(process.pid));
  }
  return () => rmSync(path, { force: true });
}

function isAlive(pid: number): boolean {
  if (!Number.isInteger(pid) || pid <= 0) return false;
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return error instanceof Error && "code" in error && error.code === "EPERM";
  }
}
