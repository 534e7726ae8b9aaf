import { type DecisionStatus, decide } from "../decide/decide.ts";
import { isSetup, setupOf } from "../decide/setup.ts";
import { InternalFault } from "../faults/fault.ts";
import type { Catalogue } from "../machine/catalogue.ts";
import type { Problem } from "../machine/problem.ts";
import type { Flaw } from "../solve/review.ts";
import type { Findings } from "./findings.ts";
import { LostTrack, newReplay, type Replay, replaying } from "./replay.ts";

/** What a result says of the order as a whole. */
export interface Claim {
  readonly status: DecisionStatus;
  /** [cent]; absent: no answer. */
  readonly total?: number;
  /** No order costs less [cent]; absent: nothing is said. */
  readonly bound?: number;
}

/** What came of proving a claim again. */
export interface OrderProof {
  /** What does not hold in the findings, with its place; empty: all of it holds. */
  readonly flaws: readonly Flaw[];
  /** What does not hold in the claim, with its place in the result. */
  readonly contradictions: readonly Flaw[];
  readonly branches: number;
  /** Leaves seen through answer by answer. */
  readonly enumerated: number;
  /** No order costs less [cent]; Infinity: there is none; absent: the findings could not be followed to their end. */
  readonly bound?: number;
}

/** A whole cent is what two totals differ by at least. */
const HALF_A_CENT = 0.5;

/**
 * Decides once more with the findings in place of searching, and compares what comes of it with the claim.
 *
 * Every reduction is worked out anew from the problem. Candidates go only where a bound exceeds the cost of an answer that
 * stands and that is no cheaper than what is claimed, so that nothing cheaper can go with them.
 */
export async function proveOrder(
  { problem, catalogue }: { readonly problem: Problem; readonly catalogue: Catalogue },
  claim: Claim,
  findings: Findings,
): Promise<OrderProof> {
  const setup = setupOf(problem, catalogue);
  if (!isSetup(setup)) throw new InternalFault("proveOrder: motions that cannot be");
  const replay = newReplay(setup, findings);
  try {
    const { status, bound, evaluated } = await decide(setup, {
      engine: "simplex",
      secondsLeft: () => Number.POSITIVE_INFINITY,
      aborted: () => false,
      progress: () => undefined,
      ties: false,
      finderOf: (court) => replaying(replay, court),
    });
    const total = evaluated?.money.total;
    // To the cent: what differs from the best differs by one at least.
    const least = status === "optimal" ? (total ?? bound) : bound;
    const found = { status, bound: least, ...(total === undefined ? {} : { total }) };
    const flaws = [...replay.flaws, ...leftOver(replay), ...lowLimits(replay, claim)];
    return { ...counts(replay), flaws, contradictions: contradictionsOf(claim, found), bound: least };
  } catch (lost) {
    if (!(lost instanceof LostTrack)) throw lost;
    return { ...counts(replay), flaws: [...replay.flaws, lost.flaw], contradictions: [] };
  }
}

function counts({ branches, enumerated }: Replay): Pick<OrderProof, "branches" | "enumerated"> {
  return { branches, enumerated };
}

function leftOver({ at, findings }: Replay): Flaw[] {
  return at === findings.steps.length ? [] : [{ at: `/steps/${at}`, why: "a step that nothing asks for" }];
}

/** Answers cheaper than what is claimed: what was dropped above their cost could be cheaper than the claim, too. */
function lowLimits({ limits }: Replay, { status, total, bound }: Claim): Flaw[] {
  const claimed = status === "optimal" ? total : bound;
  const least = status === "infeasible" ? Number.POSITIVE_INFINITY : (claimed ?? Number.NEGATIVE_INFINITY);
  return limits.flatMap(({ at, cost }) =>
    cost < least - HALF_A_CENT ? [{ at, why: `an answer of ${cost} cent stands, less than what is claimed` }] : [],
  );
}

function contradictionsOf(claim: Claim, found: Claim & { readonly bound: number }): Flaw[] {
  if (claim.status !== found.status) return [{ at: "/status", why: `stated ${claim.status}, proved ${found.status}` }];
  const differs = Math.abs((claim.total ?? Number.NaN) - (found.total ?? Number.NaN)) > HALF_A_CENT;
  if (differs || (claim.total === undefined) !== (found.total === undefined))
    return [{ at: "/objective/total", why: `stated ${inCents(claim.total)}, proved ${inCents(found.total)}` }];
  if (claim.bound === undefined || claim.bound <= found.bound + HALF_A_CENT) return [];
  return [{ at: "/bound", why: `stated ${inCents(claim.bound)}, proved ${inCents(found.bound)}` }];
}

function inCents(cost: number | undefined): string {
  return cost === undefined ? "no answer" : `${Math.round(100 * cost) / 100} cent`;
}
