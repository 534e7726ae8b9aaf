import { judgedAxes } from "./decide/narrow.ts";
import { isSetup, setupOf } from "./decide/setup.ts";
import type { Result } from "./faults/fault.ts";
import { asking, type SweepContext } from "./frontier/asking.ts";
import { frontierDocument } from "./frontier/frontier-document.ts";
import { capWords } from "./frontier/reason.ts";
import { settled } from "./frontier/settled.ts";
import { sweptDown, sweptGrid } from "./frontier/sweep.ts";
import { varietyFree } from "./frontier/variety-free.ts";
import { readProblem } from "./input/read-problem.ts";
import type { FrontierDocument, FrontierOptions } from "./machine/frontier.ts";
import { motionFaults } from "./result/motion-faults.ts";
import { stopwatch } from "./result/stopwatch.ts";
import { VERSION } from "./version.ts";

/**
 * The least cost of the whole order against the number of distinct things it may hold: read and judged once, then one
 * decision for each count that can differ. Or every fault in the input.
 */
export async function frontierFile(path: string, options: FrontierOptions): Promise<Result<FrontierDocument>> {
  const { engine, aborted, progress, by, and, withoutVariety } = options;
  const watch = stopwatch(options);
  const input = await watch.time("read", () => readProblem(path));
  if (!input.ok) return input;
  const { problem, catalogue } = input.value;
  const setup = setupOf(withoutVariety ? varietyFree(problem) : problem, catalogue);
  if (!isSetup(setup)) return { ok: false, faults: motionFaults(path, setup, problem) };

  const judged = await watch.time("judge", () => judgedAxes(setup));
  const context: SweepContext = {
    setup,
    judged,
    engine,
    aborted,
    secondsLeft: watch.secondsLeft,
    lasting: watch.lasting,
    progress: (caps, note) => progress({ phase: "solve", note: [capWords(caps), note ?? ""].join(": ") }),
  };
  const ask = asking(context);
  const { points, isWhole } = await watch.time("solve", () =>
    and === undefined ? sweptDown(context, ask, { kind: by, fixed: {} }) : sweptGrid(context, ask, { by, and }),
  );
  const swept = { points: settled(points), isWhole };
  const facts = { input: input.value, setup, swept, by, and, withoutVariety };
  return {
    ok: true,
    value: frontierDocument({ ...facts, fewframe: VERSION, engine, timing: watch.laps() }),
  };
}
