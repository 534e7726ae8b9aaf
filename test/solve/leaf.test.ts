import { expect, test } from "vitest";
import { coreOf } from "../../src/solve/core.ts";
import { fullDomain } from "../../src/solve/domain.ts";
import type { Engine, EngineAnswer, EngineName } from "../../src/solve/engine.ts";
import { newEngines } from "../../src/solve/engines/engines.ts";
import { solveLeaf } from "../../src/solve/leaf.ts";
import { allOptima } from "./brute-force.ts";
import { randomModel } from "./random-model.ts";

const model = randomModel(1);
const [optimum] = allOptima(model);
const honest = newEngines(() => performance.now() / 1000);

/** What an engine claims; undefined: it works as it should. */
type Claim = EngineAnswer["status"] | undefined;

function claiming(name: EngineName, status: Claim): Engine {
  return status === undefined ? honest[name] : { name, solve: async () => ({ status }) };
}

/** What is made of two engines that claim this. */
async function leafOf(simplex: Claim, highs: Claim): Promise<readonly [kind: string, failures: number]> {
  const core = coreOf(model);
  const counts = { calls: 0, failures: 0 };
  const engines = { simplex: claiming("simplex", simplex), highs: claiming("highs", highs) };
  const order = ["simplex", "highs"] as const;
  const { kind } = await solveLeaf(core, fullDomain(core), { engines, order, seconds: () => 20, counts });
  return [kind, counts.failures];
}

test("a leaf is empty only where HiGHS says so: a claim of the embedded engine alone closes nothing", async () => {
  expect(optimum).toBeDefined();
  expect(await leafOf("infeasible", "infeasible")).toEqual(["none", 0]);
  expect(await leafOf("stopped", "infeasible")).toEqual(["none", 1]);
  expect(await leafOf("infeasible", "stopped")).toEqual(["stopped", 1]);
  // An optimum without values is no claim either.
  expect(await leafOf("infeasible", "optimal")).toEqual(["stopped", 1]);
  expect(await leafOf("stopped", "stopped")).toEqual(["stopped", 2]);
});

test("a false claim of the embedded engine that the leaf is empty is found out by HiGHS, and counted", async () => {
  expect(await leafOf("infeasible", undefined)).toEqual(["best", 1]);
  expect(await leafOf(undefined, "infeasible")).toEqual(["best", 0]);
});
