import { beforeAll, expect, test } from "vitest";
import { decide } from "../../src/decide/decide.ts";
import { isSetup, setupOf } from "../../src/decide/setup.ts";
import { readProblem } from "../../src/input/read-problem.ts";
import type { ResultDocument } from "../../src/machine/result.ts";
import { type DocumentInput, resultDocument } from "../../src/result/result-document.ts";
import { problemPath } from "./run-file.ts";

/** What a document is written from where nothing was found. */
let input: DocumentInput;
beforeAll(async () => {
  const read = await readProblem(problemPath("stone-lift-infeasible"));
  if (!read.ok) throw new Error("the demonstration problem has faults");
  const setup = setupOf(read.value.problem, read.value.catalogue);
  if (!isSetup(setup)) throw new Error("the demonstration motion cannot be");
  const options = { engine: "simplex", secondsLeft: () => 0, aborted: () => true, ties: false } as const;
  const decision = await decide(setup, { ...options, progress: () => undefined });
  const facts = { explanation: undefined, obstacles: [], certificate: null, fewframe: "0", engine: "simplex" };
  input = { ...read.value, setup, decision, ...facts, timing: {} };
});

/** The document of a search stopped without an answer, at a bound [cent]. */
function stoppedAt(bound: number): ResultDocument {
  return resultDocument({ ...input, decision: { ...input.decision, status: "unknown", bound } });
}

test("stopped without an answer: the bound that was reached, null where none was", () => {
  const nothing = { status: "unknown", objective: null, gap: null, machines: [], infeasible: [], certificate: null };
  expect(stoppedAt(123_450)).toMatchObject({ ...nothing, bound: 1234.5 });
  expect(stoppedAt(Number.NEGATIVE_INFINITY)).toMatchObject({ ...nothing, bound: null });
  // Every answer met was ruled out, and the rest not looked into.
  expect(stoppedAt(Number.POSITIVE_INFINITY)).toMatchObject({ ...nothing, bound: null });
});
