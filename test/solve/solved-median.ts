import { type EngineName, solveModel } from "../../src/index.ts";
import { modelOf, readMedian } from "./facility-location.ts";

/** What solving a p-median problem of the OR-Library came to. */
export interface SolvedMedian {
  readonly status: string;
  readonly cost: number | undefined;
  readonly engineFailures: number;
  readonly asksEngine: boolean;
}

/** Without patience leaves go to HiGHS; the embedded engine is asked about smaller ones, of which none is left here. */
export async function solvedMedian(name: string, engine: EngineName): Promise<SolvedMedian> {
  const instance = readMedian(name);
  const model = { ...modelOf(instance, instance.p), unit: 1 };
  const { status, cost, stats } = await solveModel(model, {
    secondsLeft: () => 600,
    engine,
    patience: 0,
    ties: false,
  });
  return { status, cost, engineFailures: stats.engineFailures, asksEngine: stats.engineCalls > 0 };
}
