import type { Problem } from "../machine/problem.ts";

/** The same problem with nothing charged for variety. */
export function varietyFree(problem: Problem): Problem {
  const { weights } = problem;
  const variety = { motor: 0, frame: 0, gearbox: 0, drive: 0, maker: 0, supply: 0, resistor: 0, inductor: 0 };
  return { ...problem, weights: { ...weights, variety } };
}
