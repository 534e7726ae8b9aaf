import { InternalFault } from "../faults/fault.ts";
import type { LinearModel } from "../model/linear.ts";
import type { Engine, EngineAnswer } from "./engine.ts";

/** How long after its deadline an engine may still come back [s]. */
const GRACE = 1;

const NO_CLAIM: EngineAnswer = { status: "stopped" };

/**
 * Asks an engine that may break its promises: what it throws, and that it does not come back, is no claim.
 *
 * @remarks An engine that computes without yielding cannot be cut short from here; adapters look at the clock themselves.
 * @param seconds - until the engine has to be back [s]
 */
export async function ask(engine: Engine, model: LinearModel, seconds: number): Promise<EngineAnswer> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<EngineAnswer>((resolve) => {
    timer = setTimeout(() => resolve(NO_CLAIM), 1000 * (Math.max(0, seconds) + GRACE));
  });
  try {
    return await Promise.race([answerOf(engine, model, seconds), late]);
  } finally {
    clearTimeout(timer);
  }
}

async function answerOf(engine: Engine, model: LinearModel, seconds: number): Promise<EngineAnswer> {
  try {
    return await engine.solve(model, seconds);
  } catch (thrown) {
    // What we ourselves got wrong stays a fault.
    if (thrown instanceof InternalFault) throw thrown;
    return NO_CLAIM;
  }
}
