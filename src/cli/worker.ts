import { availableParallelism, hostname } from "node:os";
import { type Command, InvalidArgumentError } from "commander";
import type { QueueAddress, queueWorker } from "../index.ts";
import { EXIT, type ExitCode } from "./exit.ts";
import { positiveInteger, positiveNumber } from "./options.ts";
import { queueOf, queueOption } from "./queue.ts";
import { processTerminal, type Terminal } from "./terminal.ts";

interface WorkerFlags {
  readonly queue: string;
  readonly jobs?: number;
  readonly name?: string;
  readonly untilIdle?: number;
  readonly queueWait: number;
  readonly quiet?: true;
}

/** `fewframe worker --queue <url>` */
export function addWorker(program: Command): void {
  program
    .command("worker")
    .description("solve runs of studies that share a queue, until told to stop")
    .addOption(queueOption().makeOptionMandatory())
    .option("--jobs <n>", "runs solved at a time (default: as many as the machine has cores)", positiveInteger)
    .option("--name <name>", "name in the queue's list of workers (default: that of the machine)", workerName)
    .option("--until-idle <s>", "end when no run came for so long", positiveNumber)
    .option("--queue-wait <s>", "go on trying so long when the queue is lost", positiveNumber, 60)
    .option("--quiet", "no line for each run")
    .action(async (flags: WorkerFlags, command: Command) => {
      const address = await queueOf(flags.queue, command);
      const { queueWorker: work } = await import("../index.ts");
      process.exitCode = await runWorker(address, flags, { queueWorker: work, terminal: processTerminal() });
    });
}

interface WorkerTools {
  readonly queueWorker: typeof queueWorker;
  readonly terminal: Terminal;
}

async function runWorker(address: QueueAddress, flags: WorkerFlags, tools: WorkerTools): Promise<ExitCode> {
  const tell = (message: string): void => tools.terminal.err.write(`${message}\n`);
  const stop = watchStop(tell);
  try {
    await tools.queueWorker(address, {
      jobs: flags.jobs ?? availableParallelism(),
      name: flags.name ?? hostname(),
      patience: flags.queueWait,
      untilIdle: flags.untilIdle ?? Number.POSITIVE_INFINITY,
      stop: stop.signal,
      tell,
      onRun: ({ key, status }, seconds) => {
        if (flags.quiet !== true) tell(`run ${key.slice(0, 12)}: ${status}, ${seconds.toFixed(1)} s`);
      },
    });
  } finally {
    stop.release();
  }
  return EXIT.done;
}

const STOPS = ["SIGINT", "SIGTERM"] as const;

/** The first signal asks the worker to stop once its runs are solved; the second one ends the process. */
function watchStop(tell: (message: string) => void): { readonly signal: AbortSignal; readonly release: () => void } {
  const controller = new AbortController();
  const told = (): void => {
    // Leaving this way still removes the worker's folder.
    if (controller.signal.aborted) process.exit(EXIT.stopped);
    controller.abort();
    tell("stopping once the runs under way are solved; once more ends at once");
  };
  for (const name of STOPS) process.on(name, told);
  return {
    signal: controller.signal,
    release: () => {
      for (const name of STOPS) process.off(name, told);
    },
  };
}

/** Reads a name that Redis can list. */
function workerName(text: string): string {
  if (/^[\w.-]{1,60}$/u.test(text)) return text;
  throw new InvalidArgumentError("It must be of letters, digits, dots and dashes, at most 60.");
}
