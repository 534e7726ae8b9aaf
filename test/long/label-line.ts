import { expect, test } from "vitest";
import { explain } from "../../src/explain/explain.ts";
import { confirmAll, shipped } from "../explain/confirming.ts";

/** Own oracle: the solver itself, on the edited problem and from scratch; about a minute. */
test("every price and next step of the label line, by editing the problem and solving afresh", async () => {
  const of = await shipped("problems/label-line.json");
  expect(of.decision.status).toBe("optimal");
  await confirmAll(of, await explain(of.context));
});
