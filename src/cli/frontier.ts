import { type Command, Option } from "commander";
import type { FrontierDocument, FrontierFile, FrontierKind, FrontierOptions } from "../index.ts";
import { EXIT, type ExitCode } from "./exit.ts";
import { reportFaults } from "./faults.ts";
import { frontierFiles } from "./frontier-files.ts";
import { watchInterrupt } from "./interrupt.ts";
import { positiveNumber } from "./options.ts";
import { progressPrinter } from "./progress.ts";
import { styleFor } from "./style.ts";
import { processTerminal, type Terminal } from "./terminal.ts";

export interface FrontierFlags {
  readonly by: FrontierKind;
  readonly and?: FrontierKind;
  readonly withoutVariety?: true;
  readonly json?: true;
  readonly out?: string;
  readonly engine: FrontierOptions["engine"];
  /** [s] */
  readonly timeLimit?: number;
  readonly quiet?: true;
  readonly color: boolean;
}

/** What the command works with; tests put their own in. */
export interface FrontierTools {
  readonly frontierFile: FrontierFile;
  readonly terminal: Terminal;
}

// Written out, so that `--help` need not load the program; a test compares them with what the library knows.
export const KINDS: readonly FrontierKind[] = ["motors", "frames", "gearboxes", "drives", "makers", "parts"];

/** `fewframe frontier <problem>` */
export function addFrontier(program: Command): void {
  program
    .command("frontier <problem>")
    .description("say what an order of fewer different motors, gearboxes … costs at least")
    .addOption(new Option("--by <count>", "what to have fewer of").choices(KINDS).default("motors"))
    .addOption(new Option("--and <count>", "a second count: a table of both").choices(KINDS))
    .option("--without-variety", "charge nothing for variety: what fewer parts cost before they are credited")
    .option("--json", "print the frontier document on standard output and nothing else there")
    .option("--out <folder>", "write document, table, print and chart into this folder")
    .addOption(
      new Option("--engine <name>", "solver of the small cores").choices(["simplex", "highs"]).default("simplex"),
    )
    .option("--time-limit <s>", "stop after this many seconds; what is then not proved says so", positiveNumber)
    .option("--quiet", "no progress")
    .option("--no-color", "no colours")
    .action(async (path: string, flags: FrontierFlags) => {
      const { frontierFile } = await import("../index.ts");
      process.exitCode = await runFrontier(path, flags, { frontierFile, terminal: processTerminal() });
    });
}

/** Sweeps, prints, writes what was asked for, and returns the exit code. */
export async function runFrontier(path: string, flags: FrontierFlags, tools: FrontierTools): Promise<ExitCode> {
  const { terminal } = tools;
  if (flags.by === flags.and) {
    terminal.err.write(`error: --by and --and both say ${flags.by}; they must differ\n`);
    return EXIT.badCommandLine;
  }
  const swept = await sweptWatched(path, flags, tools);
  if (!swept.ok) return reportFaults(swept.faults, terminal);
  terminal.out.write(await printedText(swept.value, flags, terminal));
  await writeOutputs(path, flags, { document: swept.value, terminal });
  return exitOf(swept.value);
}

/** An order that cannot be is an answer of the sweep, unless there is none at all. */
function exitOf({ complete, points }: FrontierDocument): ExitCode {
  if (points.every(({ status }) => status === "infeasible")) return EXIT.infeasible;
  return complete ? EXIT.done : EXIT.stopped;
}

async function sweptWatched(
  path: string,
  { by, and, withoutVariety, engine, timeLimit, quiet }: FrontierFlags,
  { frontierFile, terminal }: FrontierTools,
): ReturnType<FrontierFile> {
  const progress = progressPrinter(quiet === true, terminal);
  const watch = watchInterrupt(() => {
    progress.end();
    terminal.err.write("stopping with the orders found so far; Ctrl-C again ends at once\n");
  });
  try {
    return await frontierFile(path, {
      by,
      ...(and === undefined ? {} : { and }),
      withoutVariety: withoutVariety === true,
      engine,
      timeLimit: timeLimit ?? Number.POSITIVE_INFINITY,
      now: terminal.now,
      aborted: watch.aborted,
      progress: progress.show,
    });
  } finally {
    watch.release();
    progress.end();
  }
}

async function printedText(document: FrontierDocument, flags: FrontierFlags, terminal: Terminal): Promise<string> {
  if (flags.json) return (await import("../report/document-text.ts")).documentText(document);
  const { frontierText } = await import("../report/frontier-text.ts");
  return frontierText(document, await styleFor(flags.color, terminal));
}

interface Finished {
  readonly document: FrontierDocument;
  readonly terminal: Terminal;
}

async function writeOutputs(
  path: string,
  { out, quiet }: FrontierFlags,
  { document, terminal }: Finished,
): Promise<void> {
  if (out === undefined) return;
  const files = await frontierFiles(path, out, document);
  const { writeFiles } = await import("./write-files.ts");
  await writeFiles(files);
  if (quiet !== true) terminal.err.write(`wrote ${files.map((file) => file.path).join(", ")}\n`);
}
