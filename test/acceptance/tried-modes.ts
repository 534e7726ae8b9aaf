import { orderOracle } from "../../src/verify/evaluate-machine.ts";
import { type BruteForce, bruteForce } from "../oracle/brute-force.ts";
import { decided, pickedBy } from "../oracle/decided.ts";
import { type RandomMachine, randomMachine } from "../oracle/random-machine.ts";
import { withModes } from "../oracle/random-modes.ts";

/** Nearer to 1 than this, stepping through time may see a limit pass that does not, or the other way round. */
const NEAR = 0.002;

/** What is wrong with an answer, against the cheapest of all by stepping through every mode; null: nothing. */
async function wrongWith(machine: RandomMachine, { best }: BruteForce): Promise<string | null> {
  const decision = await decided(machine);
  const answer = pickedBy(decision);
  if (answer === null || decision.evaluated === undefined) {
    if (best === null) return decision.status === "infeasible" ? null : decision.status;
    return best.verdict.closeness < NEAR ? "near" : `nothing found, but this stands at ${best.verdict.total}`;
  }
  const seen = orderOracle(machine.problem, machine.catalogue, 800).evaluate(answer);
  const closeness = Math.min(seen.closeness, best?.verdict.closeness ?? 1);
  const { total } = decision.evaluated.money;
  const room = 1 + 2e-5 * Math.abs(seen.money.terms.energy);
  if (!seen.feasible || best === null) return closeness < NEAR ? "near" : `the pick fails ${seen.failed.join(", ")}`;
  if (Math.abs(total - seen.total) > room) return `costs ${seen.total}, not ${total}`;
  if (Math.abs(total - best.verdict.total) <= 2 * room) return null;
  return closeness < NEAR ? "near" : `picks at ${total} and not at ${best.verdict.total}`;
}

/** What is wrong with the answers of eight machines with modes, each against trying everything; null: nothing. */
export async function triedModes(first: number): Promise<(string | null)[]> {
  const outcomes: (string | null)[] = [];
  for (let seed = first; seed < first + 8; seed++) {
    const machine = withModes(randomMachine(seed), seed);
    outcomes.push(await wrongWith(machine, bruteForce(machine.problem, machine.catalogue)));
  }
  return outcomes;
}
