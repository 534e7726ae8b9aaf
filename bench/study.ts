import { spawnSync } from "node:child_process";
import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { problemOf, studyRuns } from "../src/study/plan/points.ts";
import type { RunTask } from "../src/study/runs/run.ts";
import type { Runner } from "../src/study/runs/runner.ts";
import { tasksOf } from "../src/study/runs/tasks.ts";
import { planStudy } from "../src/study-file.ts";
import { line, number, timed } from "./read-setup.ts";

/** Worker threads run built code, as users run it. */
const built: { readonly threadRunner: (threads: number) => Promise<Runner> } = await import(
  new URL("../dist/study/runs/thread-runner.js", import.meta.url).href
);

/** `bench/study.ts <runs> <runs by a process each>`: the demo over pace, masses and pulley, after `npm run build`. */
const [count = "120", alone = "6"] = process.argv.slice(2);
const folder = await mkdtemp(join(tmpdir(), "fewframe-bench-"));
try {
  await measure();
} finally {
  await rm(folder, { recursive: true });
}

async function measure(): Promise<void> {
  const planned = await planStudy(await writtenStudy(Number(count)));
  if (!planned.ok) throw new Error(JSON.stringify(planned.faults));
  const { study, design, reader } = planned.value;
  const runs = studyRuns(study, design.points, []);
  const tasks = await tasksOf(study, runs, reader);
  console.log(`Studies: ${count} runs of the demo, latin hypercube over four factors`);
  const single = await processesOf(runs.slice(0, Number(alone)).map((run) => problemOf(study, run)));
  line("one solve process for each run", `${number(single)} a second`);
  const one = await rateOf(1, tasks);
  line("one thread, warm", `${number(one)} a second`, `${number(one / single)} times as many`);
  const two = await rateOf(2, tasks);
  line("two threads, warm", `${number(two)} a second`, `${number(two / single)} times as many`);
  line("parallel efficiency on two", `${number((100 * two) / (2 * one))} %`, "of twice the rate of one thread");
  line("1,000 runs on two threads", `${number(1000 / two)} s`, "at that rate");
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

/** Runs a second, after each thread has solved some to warm up. */
async function rateOf(threads: number, tasks: readonly RunTask[]): Promise<number> {
  const runner = await built.threadRunner(threads);
  const warming = tasks.slice(0, 3 * threads);
  await Promise.all(warming.map(async (task) => runner.run(task)));
  const rest = tasks.slice(6);
  const { seconds } = await timed(async () => Promise.all(rest.map(async (task) => runner.run(task))));
  await runner.close();
  return rest.length / seconds;
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
