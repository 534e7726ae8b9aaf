import type { Command } from "commander";
import type { checkProblem, ProblemInput } from "../index.ts";
import { EXIT, type ExitCode } from "./exit.ts";
import { reportFaults } from "./faults.ts";
import { styleFor } from "./style.ts";
import { processTerminal, type Terminal } from "./terminal.ts";

export interface CheckFlags {
  readonly json?: true;
  readonly color: boolean;
}

/** What the command works with; tests put their own in. */
export interface CheckTools {
  readonly checkProblem: typeof checkProblem;
  readonly terminal: Terminal;
}

/** `fewframe check <problem>` */
export function addCheck(program: Command): void {
  program
    .command("check <problem>")
    .description("read a problem and its catalogues; report every fault with its place")
    .option("--json", "print faults, defaults and cautions as JSON on standard output and nothing else there")
    .option("--no-color", "no colours")
    .action(async (path: string, flags: CheckFlags) => {
      const { checkProblem: check } = await import("../index.ts");
      process.exitCode = await runCheck(path, flags, { checkProblem: check, terminal: processTerminal() });
    });
}

/** Reads, prints what was read or every fault, and returns the exit code. */
export async function runCheck(path: string, flags: CheckFlags, tools: CheckTools): Promise<ExitCode> {
  const { terminal } = tools;
  const read = await tools.checkProblem(path);
  if (!read.ok) {
    if (flags.json) terminal.out.write(jsonText({ faults: read.faults }));
    return reportFaults(read.faults, terminal);
  }
  terminal.out.write(flags.json ? await cleanJson(read.value) : await cleanText(read.value, flags, terminal));
  return EXIT.done;
}

async function cleanJson(input: ProblemInput): Promise<string> {
  const { allCautions } = await import("../report/caution-input.ts");
  const { defaults, inputs } = input;
  return jsonText({ faults: [], defaults, cautions: allCautions(input, []), inputs });
}

async function cleanText(input: ProblemInput, { color }: CheckFlags, terminal: Terminal): Promise<string> {
  const [{ checkText }, { allCautions }, style] = await Promise.all([
    import("../report/check-text.ts"),
    import("../report/caution-input.ts"),
    styleFor(color, terminal),
  ]);
  return checkText({ ...input, cautions: allCautions(input, []) }, style);
}

function jsonText(value: object): string {
  return `${JSON.stringify(value, null, 2)}\n`;
}
