import { expect, test } from "vitest";
import { isSetup, setupOf } from "../../src/decide/setup.ts";
import { readProblem } from "../../src/input/read-problem.ts";
import type { ResultDocument } from "../../src/machine/result.ts";
import { resultDocument } from "../../src/result/result-document.ts";
import { problemPath } from "./run-file.ts";

/** The document of a search stopped without an answer, at a bound [cent]. */
async function stoppedAt(bound: number): Promise<ResultDocument> {
  const input = await readProblem(problemPath("drum-feeder-imperial"));
  if (!input.ok) throw new Error("the demonstration problem has faults");
  const setup = setupOf(input.value.problem, input.value.catalogue);
  if (!isSetup(setup)) throw new Error("the demonstration motion cannot be");
  const nothing = { certificates: [], stats: [], models: [], judged: [], empty: [], prepared: [] };
  return resultDocument({
    ...input.value,
    setup,
    decision: { status: "unknown", bound, ...nothing },
    explanation: undefined,
    obstacles: [],
    certificate: null,
    fewframe: "0",
    engine: "simplex",
    timing: {},
  });
}

test("stopped without an answer: the bound that was reached, null where none was", async () => {
  const nothing = { status: "unknown", objective: null, gap: null, machines: [], infeasible: [], certificate: null };
  expect(await stoppedAt(123_450)).toMatchObject({ ...nothing, bound: 1234.5 });
  expect(await stoppedAt(Number.NEGATIVE_INFINITY)).toMatchObject({ ...nothing, bound: null });
  // Every answer met was ruled out, and the rest not looked into.
  expect(await stoppedAt(Number.POSITIVE_INFINITY)).toMatchObject({ ...nothing, bound: null });
});
