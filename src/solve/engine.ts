import type { LinearModel } from "../model/linear.ts";

export type EngineName = "simplex" | "highs";

/** An integer solver behind one face. It must not change the model and must come back by the deadline (give or take). */
export interface Engine {
  readonly name: EngineName;
  readonly solve: (model: LinearModel, seconds: number) => Promise<EngineAnswer>;
}

/** What an engine claims; the caller re-checks every claim. */
export interface EngineAnswer {
  /** `stopped`: deadline, fault of the engine, or no claim at all. */
  readonly status: "optimal" | "infeasible" | "stopped";
  /** By variable index; present when the engine has an answer. */
  readonly values?: readonly number[];
}
