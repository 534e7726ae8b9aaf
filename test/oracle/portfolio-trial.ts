import { type OrderOracle, orderOracle } from "../../src/verify/evaluate-machine.ts";
import { type Agreement, agreementOf, type OracleBest, textOf } from "./agreement.ts";
import { bruteForce, compareTies, TooMany } from "./brute-force.ts";
import { decided, pickedBy } from "./decided.ts";
import { plainOrder } from "./plain-input.ts";
import type { RandomMachine } from "./random-machine.ts";
import { randomPortfolio } from "./random-portfolio.ts";
import { type RowKind, rowKindsOf } from "./row-kinds.ts";
import { solvePlain, Unclosed } from "./solve-plain.ts";

/** What became of one random portfolio. */
export interface Trial {
  readonly seed: number;
  readonly feasible: boolean;
  /** Against HiGHS on the plain model; absent: not closed in as many solves as it was given. */
  readonly plain?: Agreement;
  /** Against trying every combination; absent: too many. */
  readonly tried?: Agreement;
  /** Answers of the lowest cost. */
  readonly ties: number;
  /** Kinds of rows it has; true: without them other parts are picked. Absent: not looked into. */
  readonly kinds?: ReadonlyMap<RowKind, boolean>;
  /** What another engine, less time or a second run changed. */
  readonly changes: readonly string[];
  readonly engineCalls: number;
}

/** What to look into beside the plain model. */
export interface TrialOptions {
  /** Tries every combination where there are at most so many. */
  readonly combinations: number;
  readonly kinds: boolean;
  readonly engines: boolean;
}

/** Solves of the plain model at the most. */
const ROUNDS = 80;

type Decided = Awaited<ReturnType<typeof decided>>;

/** What is picked. */
function picksText(decision: Decided): string {
  const picks = pickedBy(decision);
  return picks === null ? "nothing" : textOf(picks);
}

/** Status, cost to the cent and what is picked. */
function answerText(decision: Decided): string {
  return `${decision.status} ${decision.evaluated?.money.total}\n${picksText(decision)}`;
}

/** Draws the portfolio of a seed and answers it in every way asked for. */
export async function trialOf(seed: number, options: TrialOptions): Promise<Trial> {
  const order = await randomPortfolio(seed);
  const decision = await decided(order);
  const oracle = orderOracle(order.problem, order.catalogue);
  const plain = await plainBest(order, oracle);
  const tried = triedBest(order, oracle, options.combinations);
  return {
    seed,
    feasible: decision.evaluated !== undefined,
    ...(plain === undefined ? {} : { plain: agreed(order, decision, plain.best) }),
    ...(tried === undefined ? {} : { tried: agreed(order, decision, tried) }),
    ties: plain?.ties ?? 0,
    ...(options.kinds && decision.evaluated !== undefined ? { kinds: await activeKinds(order, decision) } : {}),
    changes: options.engines ? await changesOf(order, decision) : [],
    engineCalls: decision.stats.reduce((sum, { engineCalls }) => sum + engineCalls, 0),
  };
}

/** The plain model's answers of the lowest cost, and which of them the tie rule takes. */
async function plainBest(
  { problem, catalogue }: RandomMachine,
  oracle: OrderOracle,
): Promise<{ best: OracleBest; ties: number } | undefined> {
  const { input, judge, answerOf } = plainOrder(problem, catalogue, oracle);
  const found = await closedPlain(input, judge);
  if (found === undefined) return undefined;
  const answers = (found?.ties ?? []).map((choice) => {
    const answer = answerOf(choice);
    const verdict = oracle.evaluate(answer);
    return { answer, verdict, money: verdict.money };
  });
  return { best: answers.toSorted(compareTies)[0] ?? null, ties: answers.length };
}

/** The plain model solved; undefined: not in as many rounds as are worth it. */
async function closedPlain(
  ...[input, judge]: Parameters<typeof solvePlain>
): Promise<Awaited<ReturnType<typeof solvePlain>> | undefined> {
  try {
    return await solvePlain(input, judge, { all: true, mostRounds: ROUNDS });
  } catch (error) {
    if (error instanceof Unclosed) return undefined;
    throw error;
  }
}

function triedBest(
  { problem, catalogue }: RandomMachine,
  oracle: OrderOracle,
  combinations: number,
): OracleBest | undefined {
  try {
    return bruteForce(problem, catalogue, combinations, oracle).best;
  } catch (error) {
    if (error instanceof TooMany) return undefined;
    throw error;
  }
}

/** The same picks at the same cost, or what else an oracle that steps through time can still say of them. */
function agreed({ problem, catalogue }: RandomMachine, decision: Decided, best: OracleBest): Agreement {
  const mine = pickedBy(decision);
  const isSame = mine !== null && best !== null && textOf(mine) === textOf(best.answer);
  if (isSame && decision.status === "optimal" && decision.evaluated?.money.total === best.verdict.total)
    return { kind: "same", feasible: true };
  return agreementOf(problem.title, decision, best, orderOracle(problem, catalogue, 2000));
}

async function activeKinds(order: RandomMachine, decision: Decided): Promise<Map<RowKind, boolean>> {
  const kinds = new Map<RowKind, boolean>();
  const text = picksText(decision);
  for (const { kind, without } of rowKindsOf(order)) kinds.set(kind, picksText(await decided(without)) !== text);
  return kinds;
}

async function changesOf(order: RandomMachine, decision: Decided): Promise<string[]> {
  const ways = {
    "a second run": {},
    "the other engine": { engine: "highs" },
    "less time": { secondsLeft: () => 30 },
    "the other engine with more time": { engine: "highs", secondsLeft: () => 3600 },
  } as const;
  const changes: string[] = [];
  for (const [name, how] of Object.entries(ways)) {
    const other = answerText(await decided(order, how));
    if (other !== answerText(decision))
      changes.push(`${order.problem.title}, ${name}:\n${other}\nfor\n${answerText(decision)}`);
  }
  return changes;
}
