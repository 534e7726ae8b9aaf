import { availableParallelism } from "node:os";
import { join } from "node:path";
import type { Command } from "commander";
import type {
  QueueAddress,
  QueueRunnerOptions,
  queueRunner,
  Runner,
  StudyDocument,
  StudyOutcome,
  studyFile,
  threadRunner,
} from "../index.ts";
import { EXIT, type ExitCode } from "./exit.ts";
import { reportFaults } from "./faults.ts";
import { watchInterrupt } from "./interrupt.ts";
import { positiveInteger, positiveNumber } from "./options.ts";
import { stemOf } from "./output-files.ts";
import { queueOf, queueOption } from "./queue.ts";
import { runsPrinter } from "./runs-progress.ts";
import { styleFor } from "./style.ts";
import { processTerminal, type Terminal } from "./terminal.ts";

export interface StudyFlags {
  readonly out: string;
  readonly jobs?: number;
  /** Where the runs are handed to workers; undefined: threads of this process solve them. */
  readonly address?: QueueAddress | undefined;
  /** Longest that the queue may be silent [s]. */
  readonly queueWait: number;
  readonly json?: true;
  readonly quiet?: true;
  readonly color: boolean;
}

/** What the command works with; tests put their own in. */
export interface StudyTools {
  readonly studyFile: typeof studyFile;
  readonly threadRunner: typeof threadRunner;
  readonly queueRunner: typeof queueRunner;
  readonly terminal: Terminal;
}

/** `fewframe study <study>` */
export function addStudy(program: Command): void {
  program
    .command("study <study>")
    .description("solve a problem at the points of a designed experiment and say what the results show")
    .option("--out <folder>", "folder for what the study leaves behind, in a folder of its own there", "out")
    .option("--jobs <n>", "runs solved at a time (default: as many as the machine has cores)", positiveInteger)
    .addOption(queueOption().conflicts("jobs"))
    .option("--queue-wait <s>", "go on trying so long when the queue is lost", positiveNumber, 60)
    .option("--json", "print the study document on standard output and nothing else there")
    .option("--quiet", "no progress")
    .option("--no-color", "no colours")
    .action(async (path: string, flags: StudyFlags & { readonly queue?: string }, command: Command) => {
      const { studyFile: study, threadRunner: threads, queueRunner: queued } = await import("../index.ts");
      const tools = { studyFile: study, threadRunner: threads, queueRunner: queued, terminal: processTerminal() };
      const address = flags.queue === undefined ? undefined : await queueOf(flags.queue, command);
      process.exitCode = await runStudy(path, { ...flags, address }, tools);
    });
}

/** Solves what is not solved yet, prints what the results show, writes everything, and returns the exit code. */
export async function runStudy(path: string, flags: StudyFlags, tools: StudyTools): Promise<ExitCode> {
  const { terminal } = tools;
  const folder = join(flags.out, `${stemOf(path)}.study`);
  const studied = await studyWatched(path, { flags, folder }, tools);
  if (!studied.ok) return reportFaults(studied.faults, terminal);
  const { value } = studied;
  if (value.document === undefined) {
    const { done, total } = value.solved;
    terminal.err.write(`stopped after ${done} of ${total} runs; the same command goes on from there\n`);
    return EXIT.stopped;
  }
  const files = await studyFiles(value, value.document);
  terminal.out.write(flags.json ? files.document : await printed(value, value.document, { flags, terminal }));
  await writeOutputs(folder, files, { flags, terminal });
  return EXIT.done;
}

interface Where {
  readonly flags: StudyFlags;
  readonly folder: string;
}

async function runnerOf(
  { address, jobs, queueWait }: StudyFlags,
  around: Pick<QueueRunnerOptions, "aborted" | "tell">,
  tools: StudyTools,
): Promise<Runner> {
  if (address === undefined) return tools.threadRunner(jobs ?? availableParallelism());
  return tools.queueRunner(address, { ...around, patience: queueWait });
}

async function studyWatched(path: string, { flags, folder }: Where, tools: StudyTools): ReturnType<typeof studyFile> {
  const { terminal } = tools;
  const progress = runsPrinter(flags.quiet === true, terminal);
  const tell = (message: string): void => {
    progress.end();
    terminal.err.write(`${message}\n`);
  };
  const watch = watchInterrupt(() => tell("stopping once the runs under way are solved; Ctrl-C again ends at once"));
  try {
    return await tools.studyFile(path, {
      journal: join(folder, "journal.jsonl"),
      runner: async () => runnerOf(flags, { aborted: watch.aborted, tell }, tools),
      aborted: watch.aborted,
      progress: progress.show,
    });
  } finally {
    watch.release();
    progress.end();
  }
}

/** Texts of the files a study leaves behind. */
interface StudyFiles {
  readonly document: string;
  readonly print: string;
  readonly jsonLines: string;
  readonly csv: string;
  readonly terms: string;
  readonly charts: readonly { readonly name: string; readonly svg: string }[];
}

interface Asked {
  readonly flags: StudyFlags;
  readonly terminal: Terminal;
}

async function studyFiles({ study, rows, design }: StudyOutcome, document: StudyDocument): Promise<StudyFiles> {
  const { documentText, drawCharts, PLAIN_STYLE, runsCsv, runsJsonLines, studyCharts, studyText, termsCsv } =
    await import("../index.ts");
  return {
    document: documentText(document),
    print: studyText(document, study, PLAIN_STYLE),
    jsonLines: runsJsonLines(study, rows),
    csv: await runsCsv(study, rows),
    terms: await termsCsv(document),
    charts: await drawCharts(studyCharts({ document, study, rows, points: design.points })),
  };
}

async function printed({ study }: StudyOutcome, document: StudyDocument, { flags, terminal }: Asked): Promise<string> {
  const [{ studyText }, style] = await Promise.all([import("../index.ts"), styleFor(flags.color, terminal)]);
  return studyText(document, study, style);
}

async function writeOutputs(folder: string, files: StudyFiles, { flags, terminal }: Asked): Promise<void> {
  const [{ writeFiles }, { fileNames }] = await Promise.all([
    import("./write-files.ts"),
    import("../report/file-names.ts"),
  ]);
  const pictures = fileNames(files.charts.map(({ name }) => name));
  const named = [
    { path: join(folder, "study.json"), text: files.document },
    { path: join(folder, "study.txt"), text: files.print },
    { path: join(folder, "runs.jsonl"), text: files.jsonLines },
    { path: join(folder, "runs.csv"), text: files.csv },
    { path: join(folder, "terms.csv"), text: files.terms },
    ...files.charts.map(({ svg }, k) => ({ path: join(folder, `${pictures[k] ?? ""}.svg`), text: svg })),
  ];
  await writeFiles(named);
  if (flags.quiet === true) return;
  const count = files.charts.length;
  const charts = `${count} ${count === 1 ? "chart" : "charts"}`;
  terminal.err.write(`wrote study.txt, study.json, terms.csv, runs.csv, runs.jsonl and ${charts} into ${folder}\n`);
}
