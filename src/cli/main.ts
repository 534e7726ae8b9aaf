#!/usr/bin/env node
import { readFileSync } from "node:fs";
import { Command, CommanderError } from "commander";
import { InternalFault } from "../faults/fault.ts";
import { addCheck } from "./check.ts";
import { EXIT, type ExitCode } from "./exit.ts";
import { addFrontier } from "./frontier.ts";
import { addRatios } from "./ratios.ts";
import { addSolve } from "./solve.ts";
import { addStudy } from "./study.ts";
import { addVerify } from "./verify.ts";
import { addWorker } from "./worker.ts";

const EXIT_CODES = `
Exit codes: 0 done, 1 internal fault, output not written or queue lost, 2 bad
command line, 3 bad input, 4 infeasible, 5 stopped at a limit (the status says
whether with an answer), 6 verify found a difference.

A result is a proposal for a qualified engineer, not a release.`;

/** The whole command line. Everything heavy is imported inside the actions, so that help comes at once. */
function commandLine(): Command {
  const program = new Command("fewframe")
    .description(
      "Picks motor, gearbox ratio and drive for every axis of a machine on a\nshared supply, and says which limit decided.",
    )
    .version(packageVersion())
    .exitOverride()
    .showHelpAfterError("(fewframe --help shows the commands)")
    .addHelpText("after", EXIT_CODES);
  addCheck(program);
  addSolve(program);
  addFrontier(program);
  addRatios(program);
  addStudy(program);
  addVerify(program);
  addWorker(program);
  return program;
}

/** The one place that catches: what gets here is a wrong command line, a file that cannot be written, or a defect. */
function exitOf(error: unknown): ExitCode {
  if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.done : EXIT.badCommandLine;
  const message = error instanceof Error ? error.message : String(error);
  const kind = error instanceof InternalFault ? "internal fault, please report it" : "error";
  process.stderr.write(`fewframe: ${kind}: ${message}\n`);
  if (process.env["FEWFRAME_DEBUG"] === "1" && error instanceof Error) process.stderr.write(`${error.stack ?? ""}\n`);
  return EXIT.internalFault;
}

function packageVersion(): string {
  const about: unknown = JSON.parse(readFileSync(new URL("../../package.json", import.meta.url), "utf8"));
  const known = typeof about === "object" && about !== null && "version" in about;
  return known ? String(about.version) : "unknown";
}

// A reader that stops early, such as `head`, is no fault: what else there is to write is still written.
for (const stream of [process.stdout, process.stderr])
  stream.on("error", (error: NodeJS.ErrnoException) => {
    if (error.code !== "EPIPE") throw error;
  });

try {
  await commandLine().parseAsync(process.argv);
} catch (error) {
  process.exitCode = exitOf(error);
}
