import { spawn } from "node:child_process";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Found, Message, Seconds, Task } from "./task.ts";

/** Seconds beyond its limit in which a task may still end by itself. */
const GRACE = 3;

/** What a task's process did. */
export interface Measurement {
  readonly end: "done" | "late" | "memory" | "failed";
  /** Of each step that ended. */
  readonly steps: ReadonlyMap<string, Seconds>;
  /** The step it was in when it was killed or broke. */
  readonly within?: string;
  readonly counts: ReadonlyMap<string, number>;
  readonly found?: Found;
  /** Most memory held [MiB]; of a killed process as far as the system told. */
  readonly mebibytes?: number;
}

/** Runs a task in a process of its own with so much heap [MiB] and kills it when its time is over. */
export async function measure(task: Task, heap: number): Promise<Measurement> {
  const child = spawn(
    process.execPath,
    [
      `--max-old-space-size=${heap}`,
      "--import",
      "ts-blank-space/register",
      join(import.meta.dirname, "child.ts"),
      JSON.stringify(task),
    ],
    { stdio: ["ignore", "pipe", "pipe"] },
  );
  const heard = { lines: "", complaints: "", isLate: false, mebibytes: undefined as number | undefined };
  let clock: NodeJS.Timeout | undefined;
  const kill = (): void => {
    heard.isLate = true;
    heard.mebibytes = mostHeld(child.pid);
    child.kill("SIGKILL");
  };
  child.stdout.on("data", (data: Buffer) => {
    clock ??= setTimeout(kill, (task.seconds + GRACE) * 1000);
    heard.lines += data.toString();
  });
  child.stderr.on("data", (data: Buffer) => (heard.complaints += data.toString()));
  const code = await new Promise<number | null>((resolve) => child.on("close", (status) => resolve(status)));
  clearTimeout(clock);
  return measurementOf({ ...heard, code });
}

interface Heard {
  readonly lines: string;
  readonly complaints: string;
  readonly isLate: boolean;
  readonly mebibytes: number | undefined;
  readonly code: number | null;
}

function measurementOf({ lines, complaints, isLate, mebibytes, code }: Heard): Measurement {
  const messages = lines.split("\n").flatMap((text): Message[] => (text.endsWith("}") ? [JSON.parse(text)] : []));
  const steps = new Map(messages.flatMap((one) => (one.kind === "end" ? [[one.step, one.seconds] as const] : [])));
  const counts = new Map(messages.flatMap((one) => (one.kind === "count" ? [[one.name, one.count] as const] : [])));
  const within = messages.flatMap((one) => (one.kind === "begin" && !steps.has(one.step) ? [one.step] : [])).at(-1);
  const found = messages.flatMap((one) => (one.kind === "found" ? [one.found] : [])).at(-1);
  const common = { steps, counts, ...(within === undefined ? {} : { within }) };
  if (found !== undefined && code === 0) return { end: "done", ...common, found, mebibytes: found.mebibytes };
  if (isLate) return { end: "late", ...common, ...(mebibytes === undefined ? {} : { mebibytes }) };
  if (isMemory(complaints)) return { end: "memory", ...common };
  console.error(complaints);
  return { end: "failed", ...common };
}

/** V8 ends the process at the limit of its heap; lists, maps and texts have a largest size besides. */
function isMemory(complaints: string): boolean {
  return /heap out of memory|Invalid (?:array|string|typed array) length|maximum size exceeded|allocation failed/iu.test(
    complaints,
  );
}

/** Most memory a running process held so far [MiB], where the system has it to read. */
function mostHeld(pid: number | undefined): number | undefined {
  try {
    const found = /VmHWM:\s+(\d+) kB/u.exec(readFileSync(`/proc/${pid}/status`, "utf8"));
    return found === null ? undefined : Number(found[1]) / 1024;
  } catch {
    return undefined;
  }
}
