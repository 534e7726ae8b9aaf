import type { Command } from "commander";
import type { Fault } from "../faults/fault.ts";
import type { checkProblem, isStudyFile, ProblemInput, planStudy } from "../index.ts";
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
  readonly isStudyFile: typeof isStudyFile;
  readonly planStudy: typeof planStudy;
  readonly terminal: Terminal;
}

/** `fewframe check <file>` */
export function addCheck(program: Command): void {
  program
    .command("check <file>")
    .description("read a problem with its catalogues, or a study; report every fault with its place")
    .option("--json", "print faults, defaults and cautions as JSON on standard output and nothing else there")
    .option("--no-color", "no colours")
    .action(async (path: string, flags: CheckFlags) => {
      const { checkProblem: check, isStudyFile: isStudy, planStudy: plan } = await import("../index.ts");
      const tools = { checkProblem: check, isStudyFile: isStudy, planStudy: plan, terminal: processTerminal() };
      process.exitCode = await runCheck(path, flags, tools);
    });
}

/** Reads, prints what was read or every fault, and returns the exit code. */
export async function runCheck(path: string, flags: CheckFlags, tools: CheckTools): Promise<ExitCode> {
  const { terminal } = tools;
  if (await tools.isStudyFile(path)) return checkStudy(path, flags, tools);
  const read = await tools.checkProblem(path);
  if (!read.ok) return faulty(read.faults, flags, terminal);
  terminal.out.write(flags.json ? await cleanJson(read.value) : await cleanText(read.value, flags, terminal));
  return EXIT.done;
}

function faulty(faults: readonly Fault[], { json }: CheckFlags, terminal: Terminal): ExitCode {
  if (json) terminal.out.write(jsonText({ faults }));
  return reportFaults(faults, terminal);
}

/** A study is checked as far as its designs: what would be run, and what can be said of it before anything is. */
async function checkStudy(
  path: string,
  flags: CheckFlags,
  { planStudy: plan, terminal }: CheckTools,
): Promise<ExitCode> {
  const planned = await plan(path);
  if (!planned.ok) return faulty(planned.faults, flags, terminal);
  const [{ planText, planDocument }, style] = await Promise.all([
    import("../index.ts"),
    styleFor(flags.color, terminal),
  ]);
  terminal.out.write(
    flags.json ? jsonText({ faults: [], ...planDocument(planned.value) }) : planText(planned.value, style),
  );
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
