import { type Command, Option } from "commander";
import type { SolveFile, SolveFileOptions, SolveFileOutcome } from "../index.ts";
import { EXIT, EXIT_BY_STATUS, type ExitCode } from "./exit.ts";
import { reportFaults } from "./faults.ts";
import { watchInterrupt } from "./interrupt.ts";
import { positiveNumber } from "./options.ts";
import { outputFiles, overwrites } from "./output-files.ts";
import { type ProgressPrinter, progressPrinter } from "./progress.ts";
import { styleFor } from "./style.ts";
import { processTerminal, type Terminal } from "./terminal.ts";

export interface SolveFlags {
  readonly json?: true;
  readonly out?: string;
  readonly engine: SolveFileOptions["engine"];
  /** [s] */
  readonly timeLimit?: number;
  readonly writeModel?: string;
  readonly explain: boolean;
  /** [s] */
  readonly explainTime?: number;
  readonly quiet?: true;
  readonly color: boolean;
}

/** What the command works with; tests put their own in. */
export interface SolveTools {
  readonly solveFile: SolveFile;
  readonly terminal: Terminal;
}

/** `fewframe solve <problem>` */
export function addSolve(program: Command): void {
  program
    .command("solve <problem>")
    .description("pick parts for every axis and say which limits decided")
    .option("--json", "print the result document on standard output and nothing else there")
    .option("--out <folder>", "write result, parts list and print into this folder")
    .addOption(
      new Option("--engine <name>", "solver of the small cores").choices(["simplex", "highs"]).default("simplex"),
    )
    .option("--time-limit <s>", "stop after this many seconds with the best answer so far", positiveNumber)
    .option("--write-model <file>", "write the solver's input as LP text")
    .option(
      "--explain-time <s>",
      "look this long for what holds each axis; what is then not proved says so",
      positiveNumber,
    )
    .option("--no-explain", "leave out what holds each axis, which takes solving again")
    .option("--quiet", "no progress")
    .option("--no-color", "no colours")
    .action(async (path: string, flags: SolveFlags) => {
      const { solveFile: solve } = await import("../index.ts");
      process.exitCode = await runSolve(path, flags, { solveFile: solve, terminal: processTerminal() });
    });
}

/** Solves, prints, writes what was asked for, and returns the exit code. */
export async function runSolve(path: string, flags: SolveFlags, tools: SolveTools): Promise<ExitCode> {
  const { terminal } = tools;
  const overwriting = overwrites(path, flags);
  if (overwriting !== undefined) {
    terminal.err.write(`error: ${overwriting} would overwrite the problem\n`);
    return EXIT.badCommandLine;
  }
  const progress = progressPrinter(flags.quiet === true, terminal);
  const solved = await solveWatched(path, flags, { ...tools, progress });
  if (!solved.ok) return reportFaults(solved.faults, terminal);
  terminal.out.write(await printedText(solved.value, flags, terminal));
  await writeOutputs(path, flags, { outcome: solved.value, terminal });
  return EXIT_BY_STATUS[solved.value.document.status];
}

async function solveWatched(
  path: string,
  flags: SolveFlags,
  tools: SolveTools & { readonly progress: ProgressPrinter },
): ReturnType<SolveFile> {
  const { terminal, progress } = tools;
  const watch = watchInterrupt(() => {
    progress.end();
    terminal.err.write("stopping with the best answer so far; Ctrl-C again ends at once\n");
  });
  try {
    return await tools.solveFile(path, {
      engine: flags.engine,
      timeLimit: flags.timeLimit ?? Infinity,
      explain: flags.explain,
      ...(flags.explainTime === undefined ? {} : { explainTime: flags.explainTime }),
      now: terminal.now,
      aborted: watch.aborted,
      progress: progress.show,
      writeModel: flags.writeModel !== undefined,
    });
  } finally {
    watch.release();
    progress.end();
  }
}

async function printedText({ document }: SolveFileOutcome, flags: SolveFlags, terminal: Terminal): Promise<string> {
  if (flags.json) return (await import("../report/document-text.ts")).documentText(document);
  const { solveText } = await import("../report/solve-text.ts");
  return solveText(document, await styleFor(flags.color, terminal));
}

interface Finished {
  readonly outcome: SolveFileOutcome;
  readonly terminal: Terminal;
}

async function writeOutputs(path: string, flags: SolveFlags, { outcome, terminal }: Finished): Promise<void> {
  const files = await outputFiles(path, flags, outcome);
  if (files.length === 0) return;
  const { writeFiles } = await import("./write-files.ts");
  await writeFiles(files);
  if (flags.quiet !== true) terminal.err.write(`wrote ${files.map((file) => file.path).join(", ")}\n`);
}
