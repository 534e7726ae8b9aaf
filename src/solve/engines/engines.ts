import type { Engine, EngineName } from "../engine.ts";
import { highsEngine } from "./highs.ts";
import { simplexEngine } from "./simplex.ts";

/** Every engine by name. */
export type Engines = Readonly<Record<EngineName, Engine>>;

/** Fresh engines; the clock only serves their deadlines. */
export function newEngines(now: () => number): Engines {
  return { simplex: simplexEngine(now), highs: highsEngine() };
}
