import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { join } from "node:path";
import { setTimeout as sleep } from "node:timers/promises";

/** The built command at work. */
export interface Running {
  readonly child: ChildProcess;
  readonly err: () => string;
  readonly out: () => string;
  /** Exit code, or the signal that ended it. */
  readonly ended: Promise<number | string | null>;
}

const ROOT = join(import.meta.dirname, "../..");
const started: ChildProcess[] = [];

/** Starts the built command in a folder. */
export function start(folder: string, args: readonly string[], root = ROOT): Running {
  const child = spawn(process.execPath, [join(root, "dist/cli/main.js"), ...args], { cwd: folder });
  started.push(child);
  const text = { out: "", err: "" };
  child.stdout.on("data", (chunk) => (text.out += String(chunk)));
  child.stderr.on("data", (chunk) => (text.err += String(chunk)));
  const ended = once(child, "close").then(([code, signal]) => code ?? signal);
  return { child, err: () => text.err, out: () => text.out, ended };
}

/** Ends whatever a test left running. */
export async function endAll(): Promise<void> {
  for (const child of started.splice(0)) {
    if (child.exitCode !== null || child.signalCode !== null) continue;
    child.kill("SIGKILL");
    await once(child, "exit");
  }
}

/** Starts a worker and waits until it takes runs. */
export async function startWorker(folder: string, url: string, ...args: string[]): Promise<Running> {
  const worker = start(folder, ["worker", "--queue", url, "--jobs", "1", ...args]);
  await until(() => /takes runs from/.test(worker.err()), worker);
  return worker;
}

/** Waits for something to become true; a command that ends meanwhile is a failure. */
export async function until(isSo: () => boolean | Promise<boolean>, running?: Running): Promise<void> {
  while (!(await isSo())) {
    if (running !== undefined && running.child.exitCode !== null) throw new Error(`ended early: ${running.err()}`);
    await sleep(20);
  }
}

/** Runs a worker has solved, by the beginnings of their keys. */
export function solvedBy(worker: Running): string[] {
  return [...worker.err().matchAll(/^run (\w+): (?:optimal|infeasible|failed),/gm)].map((match) => match[1] ?? "");
}
