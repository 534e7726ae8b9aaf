import { spawnSync } from "node:child_process";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { problemOf, studyRuns } from "../src/study/plan/points.ts";
import { planStudy } from "../src/study-file.ts";
import { line, median, number, timed } from "./read-setup.ts";

/** `bench/study.ts <runs> <runs by a process each> <rounds>`: the demo over pace, masses and pulley, after `npm run build`. */
const [count = "60", alone = "6", rounds = "3"] = process.argv.slice(2);
const folder = await mkdtemp(join(tmpdir(), "fewframe-bench-"));
try {
  await measure();
} finally {
  await rm(folder, { recursive: true });
}

async function measure(): Promise<void> {
  const path = await writtenStudy(Number(count));
  console.log(`Studies: ${count} runs of the demo, latin hypercube over four factors; medians of ${rounds} rounds`);
  const single = await processesOf((await contentsOf(path)).slice(0, Number(alone)));
  line("one solve process for each run", `${number(single)} a second`);
  const { kept, one, two } = ratesOf(path);
  line("one thread on one processor, warm", kept === undefined ? "not here" : `${number(kept)} a second`, "by taskset");
  line("one thread, warm", `${number(one)} a second`, `${number(one / single)} times as many as processes`);
  line("two threads, warm", `${number(two)} a second`, `${number(two / single)} times as many as processes`);
  if (kept !== undefined)
    line("parallel efficiency on two processors", `${number((100 * two) / (2 * kept))} %`, "of twice one on one");
  line(
    "two threads, share of twice one thread",
    `${number((100 * two) / (2 * one))} %`,
    "which has helpers on the other",
  );
  line("1,000 runs on two threads", `${number(1000 / two)} s`, "at that rate");
}

/** Runs a second; `kept`: on one processor, helpers for garbage and compiling included, where the system can do that. */
interface Rates {
  readonly kept: number | undefined;
  readonly one: number;
  readonly two: number;
}

/** Round by round, so that the moods of a machine meet all of them. */
function ratesOf(path: string): Rates {
  const all = Array.from({ length: Number(rounds) }, () => ({
    kept: rateOf(path, 1, ["taskset", "--cpu-list", "0"]),
    one: rateOf(path, 1),
    two: rateOf(path, 2),
  }));
  const middleOf = (pick: keyof Rates): number => median(all.map((round) => round[pick] ?? Number.NaN));
  const isKept = all.every(({ kept }) => kept !== undefined);
  return { kept: isKept ? middleOf("kept") : undefined, one: middleOf("one"), two: middleOf("two") };
}

/** Of a process of its own, started by a command that keeps it to some processors; undefined: there is no such command. */
function rateOf(path: string, threads: number, keeper: readonly string[] = []): number | undefined {
  const script = join(import.meta.dirname, "study", "rate.ts");
  const [command, ...rest] = [...keeper, process.execPath, "--import", "ts-blank-space/register", script, path];
  const { error, status, stdout } = spawnSync(command, [...rest, String(threads)], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  if (error !== undefined && keeper.length > 0) return undefined;
  if (status !== 0) throw new Error(`${command} ended with ${status}`);
  return Number(stdout.toString());
}

async function writtenStudy(runs: number): Promise<string> {
  const screening: unknown = JSON.parse(await readFile("problems/transplanter-screening.json", "utf8"));
  const factors = isStudy(screening) ? screening.factors.slice(0, 4) : [];
  const path = join(folder, "bench.json");
  const problem = resolve("problems/tray-transplanter.json");
  await writeFile(path, JSON.stringify({ problem, factors, design: { kind: "latin-hypercube", runs } }));
  return path;
}

function isStudy(value: unknown): value is { readonly factors: readonly unknown[] } {
  return typeof value === "object" && value !== null && "factors" in value && Array.isArray(value.factors);
}

async function contentsOf(path: string): Promise<readonly unknown[]> {
  const planned = await planStudy(path);
  if (!planned.ok) throw new Error(JSON.stringify(planned.faults));
  const { study, design } = planned.value;
  return studyRuns(study, design.points, []).map((run) => problemOf(study, run));
}

async function processesOf(contents: readonly unknown[]): Promise<number> {
  const paths = contents.map((_, index) => join(folder, `alone-${index}.json`));
  const catalogs = ["dunmarrow", "plimwickel", "zefferlode"].map((maker) => resolve("catalogs", maker));
  for (const [index, content] of contents.entries()) {
    await writeFile(paths[index] ?? "", JSON.stringify({ ...asObject(content), catalogs }));
  }
  const { seconds } = await timed(() => {
    for (const path of paths)
      spawnSync(process.execPath, ["dist/cli/main.js", "solve", path, "--no-explain", "--json", "--quiet"]);
  });
  return paths.length / seconds;
}

function asObject(value: unknown): object {
  return typeof value === "object" && value !== null ? value : {};
}
