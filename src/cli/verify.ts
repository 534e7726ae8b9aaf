import { join } from "node:path";
import type { Command } from "commander";
import type { Series, VerificationDocument, VerifyResult } from "../index.ts";
import { EXIT, type ExitCode } from "./exit.ts";
import { reportFaults } from "./faults.ts";
import { processTerminal, type Terminal } from "./terminal.ts";

export interface VerifyFlags {
  readonly problem?: string;
  readonly allowChanged?: true;
  readonly json?: true;
  readonly series?: string;
  readonly quiet?: true;
}

/** What the command works with; tests put their own in. */
export interface VerifyTools {
  readonly verifyResult: VerifyResult;
  readonly terminal: Terminal;
}

/** `fewframe verify <result>` */
export function addVerify(program: Command): void {
  program
    .command("verify <result>")
    .description("simulate a result in time steps and compare every limit it states")
    .option("--problem <file>", "problem file to use in place of the one the result names")
    .option("--allow-changed", "go on where problem or catalogues are no longer those of the result")
    .option("--json", "print the comparison as JSON on standard output and nothing else there")
    .option("--series <folder>", "write the simulated curves into this folder, a CSV file for each axis and bus")
    .option("--quiet", "do not say what was written")
    .action(async (path: string, flags: VerifyFlags) => {
      const { verifyResult } = await import("../index.ts");
      process.exitCode = await runVerify(path, flags, { verifyResult, terminal: processTerminal() });
    });
}

/** Verifies, prints, writes what was asked for, and returns the exit code. */
export async function runVerify(path: string, flags: VerifyFlags, tools: VerifyTools): Promise<ExitCode> {
  const { terminal } = tools;
  const { problem, series } = flags;
  const verified = await tools.verifyResult(path, {
    ...(problem === undefined ? {} : { problem }),
    allowChanged: flags.allowChanged === true,
    series: series !== undefined,
  });
  if (!verified.ok) return reportFaults(verified.faults, terminal);
  const { document, series: curves } = verified.value;
  terminal.out.write(await printedText(document, flags));
  if (series !== undefined) await writeSeries(series, curves, { flags, terminal });
  return document.agrees ? EXIT.done : EXIT.differs;
}

async function printedText(document: VerificationDocument, { json }: VerifyFlags): Promise<string> {
  if (json) return (await import("../report/document-text.ts")).documentText(document);
  return (await import("../report/verify-text.ts")).verifyText(document);
}

interface Asked {
  readonly flags: VerifyFlags;
  readonly terminal: Terminal;
}

async function writeSeries(folder: string, curves: readonly Series[], { flags, terminal }: Asked): Promise<void> {
  const [{ seriesCsv, seriesNames }, { writeFiles }] = await Promise.all([
    import("../report/series-csv.ts"),
    import("./write-files.ts"),
  ]);
  const names = seriesNames(curves);
  const files = await Promise.all(
    curves.map(async (one, index) => ({ path: join(folder, names[index] ?? ""), text: await seriesCsv(one) })),
  );
  await writeFiles(files);
  if (flags.quiet !== true) terminal.err.write(`wrote ${files.map((file) => file.path).join(", ")}\n`);
}
