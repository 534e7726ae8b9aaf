import { studyRuns } from "../../src/study/plan/points.ts";
import type { Runner } from "../../src/study/runs/runner.ts";
import { tasksOf } from "../../src/study/runs/tasks.ts";
import { planStudy } from "../../src/study-file.ts";
import { timed } from "../read-setup.ts";

/** Worker threads run built code, as users run it. */
const built: { readonly threadRunner: (threads: number) => Promise<Runner> } = await import(
  new URL("../../dist/study/runs/thread-runner.js", import.meta.url).href
);

/** `bench/study/rate.ts <study> <threads>` in a process of its own: says how many runs a second they do, once warm. */
const [path = "", threads = "1"] = process.argv.slice(2);
console.log(await rateOf(path, Number(threads)));

async function rateOf(study: string, width: number): Promise<number> {
  const planned = await planStudy(study);
  if (!planned.ok) throw new Error(JSON.stringify(planned.faults));
  const { design, reader } = planned.value;
  const tasks = await tasksOf(planned.value.study, studyRuns(planned.value.study, design.points, []), reader);
  const runner = await built.threadRunner(width);
  const warming = tasks.slice(0, 3 * width);
  await Promise.all(warming.map(async (task) => runner.run(task)));
  const rest = tasks.slice(6);
  const { seconds } = await timed(async () => Promise.all(rest.map(async (task) => runner.run(task))));
  await runner.close();
  return rest.length / seconds;
}
