import { join, resolve } from "node:path";
import type { Command } from "commander";
import type { Fault, RatiosDocument, RatiosFile } from "../index.ts";
import { EXIT, type ExitCode } from "./exit.ts";
import { reportFaults } from "./faults.ts";
import { collected } from "./options.ts";
import { seenFrom, stemOf } from "./output-files.ts";
import { styleFor } from "./style.ts";
import { processTerminal, type Terminal } from "./terminal.ts";
import type { TextFile } from "./write-files.ts";

export interface RatiosFlags {
  readonly axis: string;
  readonly motor?: readonly string[];
  readonly result?: string;
  readonly json?: true;
  readonly out?: string;
  readonly quiet?: true;
  readonly color: boolean;
}

/** What the command works with; tests put their own in. */
export interface RatiosTools {
  readonly ratiosFile: RatiosFile;
  readonly terminal: Terminal;
}

/** `fewframe ratios <problem> --axis <id>` */
export function addRatios(program: Command): void {
  program
    .command("ratios <problem>")
    .description("the gear ratio trade-off of one axis: which ratios work with which motor, and what ends them")
    .requiredOption("--axis <id>", "the axis, by its id or as machine/axis")
    .option("--motor <part>", "a motor to look at; may be repeated (default: the cheapest that work)", collected)
    .option("--result <file>", "take what rides on the axis, and what was picked, from this result of the problem")
    .option("--json", "print the document on standard output and nothing else there")
    .option("--out <folder>", "write document, print, picks, curves and charts into this folder")
    .option("--quiet", "do not say what was written")
    .option("--no-color", "no colours")
    .action(async (path: string, flags: RatiosFlags) => {
      const { ratiosFile } = await import("../index.ts");
      process.exitCode = await runRatios(path, flags, { ratiosFile, terminal: processTerminal() });
    });
}

/** Looks at the ratios, prints, writes what was asked for, and returns the exit code. */
export async function runRatios(path: string, flags: RatiosFlags, tools: RatiosTools): Promise<ExitCode> {
  const { terminal } = tools;
  const { axis, motor = [], result } = flags;
  const found = await tools.ratiosFile(path, axis, { motors: motor, ...(result === undefined ? {} : { result }) });
  if (!found.ok) return faultsCode(found.faults, terminal);
  const files = flags.out === undefined ? [] : await outputFiles(path, flags.out, found.value);
  const inputs = [path, ...(result === undefined ? [] : [result])].map((file) => resolve(file));
  if (files.some((file) => inputs.includes(resolve(file.path)))) {
    terminal.err.write("error: --out would overwrite an input\n");
    return EXIT.badCommandLine;
  }
  terminal.out.write(await printedText(found.value, flags, terminal));
  await written(files, flags, terminal);
  return EXIT.done;
}

/** A name that an option gave is a matter of the command line, what stands in a file one of the input. */
function faultsCode(faults: readonly Fault[], terminal: Terminal): ExitCode {
  const code = reportFaults(faults, terminal);
  return faults.every(({ place }) => place.file.startsWith("--")) ? EXIT.badCommandLine : code;
}

async function written(files: readonly TextFile[], { quiet }: RatiosFlags, { err }: Terminal): Promise<void> {
  if (files.length === 0) return;
  const { writeFiles } = await import("./write-files.ts");
  await writeFiles(files);
  if (quiet !== true) err.write(`wrote ${files.map((file) => file.path).join(", ")}\n`);
}

async function printedText(document: RatiosDocument, flags: RatiosFlags, terminal: Terminal): Promise<string> {
  if (flags.json) return (await import("../report/document-text.ts")).documentText(document);
  const [{ ratiosText }, style] = await Promise.all([
    import("../report/ratios-text.ts"),
    styleFor(flags.color, terminal),
  ]);
  return ratiosText(document, style);
}

/** Document, print, table of picks, and for each motor a file of curves and a chart of them. */
async function outputFiles(path: string, folder: string, document: RatiosDocument): Promise<TextFile[]> {
  const [
    { drawCharts, ratiosCharts },
    { documentText },
    { ratiosText },
    { PLAIN_STYLE },
    { ratioCurveCsv, ratioPicksCsv },
    { fileNames },
  ] = await Promise.all([
    import("../index.ts"),
    import("../report/document-text.ts"),
    import("../report/ratios-text.ts"),
    import("../report/text-style.ts"),
    import("../report/ratios-csv.ts"),
    import("../report/file-names.ts"),
  ]);
  const { machine, axis, motors } = document;
  const named = (ending: string, text: string): TextFile => ({ path: join(folder, `${stemOf(path)}.${ending}`), text });
  const [place = ""] = fileNames([`${machine}-${axis}`]);
  const names = fileNames(motors.map(({ motor }) => `${place}-${motor}`));
  const curves = motors.map(async (motor, k) => named(`ratios.${names[k] ?? ""}.csv`, await ratioCurveCsv(motor)));
  const charts = await drawCharts(ratiosCharts(document));
  const pictures = fileNames(charts.map(({ name }) => `${place}-${name}`));
  return [
    named(`ratios.${place}.json`, documentText(seenFrom(folder, document))),
    named(`ratios.${place}.txt`, ratiosText(document, PLAIN_STYLE)),
    named(`ratios.${place}.csv`, await ratioPicksCsv(document)),
    ...(await Promise.all(curves)),
    ...charts.map(({ svg }, k) => named(`ratios.${pictures[k] ?? ""}.svg`, svg)),
  ];
}
