import { type Court, type Standing, verdictOn } from "../decide/court.ts";
import type { Finder, Narrowing, Solved } from "../decide/finder.ts";
import { stands } from "../decide/leniency.ts";
import { answerNamed, type NamedAnswer } from "../decide/named-answer.ts";
import type { Round } from "../decide/round.ts";
import type { Setup } from "../decide/setup.ts";
import type { SelectionModel } from "../model/selection.ts";
import { coreOf } from "../solve/core.ts";
import { noiseOf } from "../solve/court.ts";
import { type Multipliers, wrongMultiplier } from "../solve/multipliers.ts";
import { type Flaw, review } from "../solve/review.ts";
import { leftBy } from "../solve/root-fix.ts";
import type { Findings, Step } from "./findings.ts";

/** How far findings were followed, and what was seen on the way. */
export interface Replay {
  readonly setup: Setup;
  readonly findings: Findings;
  /** Steps taken. */
  at: number;
  /** How often it was asked whether to stop. */
  asked: number;
  branches: number;
  enumerated: number;
  readonly flaws: Flaw[];
  /** Every answer whose cost served as a limit, with its place. */
  readonly limits: { readonly at: string; readonly cost: number }[];
}

export function newReplay(setup: Setup, findings: Findings): Replay {
  return { setup, findings, at: 0, asked: 0, branches: 0, enumerated: 0, flaws: [], limits: [] };
}

/** Findings that cannot be followed any further. */
export class LostTrack extends Error {
  override readonly name = "LostTrack";
  readonly flaw: Flaw;

  constructor(flaw: Flaw) {
    super(flaw.why);
    this.flaw = flaw;
  }
}

/**
 * Hands out what was found in place of searching. Nothing is taken on trust: multipliers are any that could be, answers
 * are worked out again, and what a bound is said to leave is left by that bound.
 */
export function replaying(replay: Replay, court: Court): Finder {
  return {
    isStopped: () => {
      const { stopped } = replay.findings;
      replay.asked += 1;
      return stopped !== null && replay.asked > stopped;
    },
    guess: async () => undefined,
    raise: (model) => {
      const { step, at } = next(replay, "pricing");
      checkMultipliers(replay, model, [step.multipliers], at);
      return { multipliers: step.multipliers, suggestions: [] };
    },
    best: () => {
      const { step, at } = next(replay, "answer");
      return { found: standing(replay, court, step.found, at), strained: step.strained ?? [] };
    },
    roughAnswer: async () => answered(replay, court),
    firstAnswer: async () => answered(replay, court),
    narrow: (round, known, from) => ({ multipliers: from, ...narrowedAgain(replay, court, round, known) }),
    solve: async (round, cutoff) => searchedAgain(replay, court, round, cutoff),
  };
}

type StepOf<Kind extends Step["kind"]> = Extract<Step, { readonly kind: Kind }>;

/** The next step, which must be of a kind, and its place. */
function next<Kind extends Step["kind"]>(replay: Replay, kind: Kind): { step: StepOf<Kind>; at: string } {
  const step = replay.findings.steps[replay.at];
  const at = `/steps/${replay.at}`;
  if (step === undefined) throw new LostTrack({ at: "/steps", why: `ends where a step "${kind}" is needed` });
  if (!isOf(step, kind)) throw new LostTrack({ at, why: `"${step.kind}" where a step "${kind}" is needed` });
  replay.at += 1;
  return { step, at };
}

function isOf<Kind extends Step["kind"]>(step: Step, kind: Kind): step is StepOf<Kind> {
  return step.kind === kind;
}

function checkMultipliers(replay: Replay, model: SelectionModel, all: readonly Multipliers[], at: string): void {
  const core = coreOf(model);
  for (const one of all) {
    const wrong = wrongMultiplier(core, one);
    if (wrong !== undefined) replay.flaws.push({ at, why: `no multiplier: ${wrong}` });
  }
}

function answered(replay: Replay, court: Court): Standing | undefined {
  const { step, at } = next(replay, "answer");
  return standing(replay, court, step.found, at);
}

/** An answer worked out again; it must stand, at the cost it is said to have. */
function standing(
  replay: Replay,
  { evaluator, leniency }: Court,
  found: NamedAnswer | undefined,
  step: string,
): Standing | undefined {
  if (found === undefined) return undefined;
  const at = `${step}/found`;
  const answer = answerNamed(replay.setup, found);
  if (answer === undefined) throw new LostTrack({ at, why: "names what the problem does not have" });
  const evaluated = evaluator.evaluate(answer);
  if (!stands(evaluated, leniency)) throw new LostTrack({ at, why: "breaks a limit" });
  const cost = evaluated.money.total;
  if (Math.abs(cost - found.cost) > 1e-6)
    replay.flaws.push({ at: `${at}/cost`, why: `stated ${found.cost} cent, worked out ${cost} cent` });
  replay.limits.push({ at, cost });
  return { cost, evaluated, answer };
}

function narrowedAgain(replay: Replay, court: Court, round: Round, known: number): Omit<Narrowing, "multipliers"> {
  const { step, at } = next(replay, "narrowing");
  const { model } = round.built;
  checkMultipliers(replay, model, step.proof, at);
  const found = standing(replay, court, step.found, at);
  const best = Math.min(known, found?.cost ?? Number.POSITIVE_INFINITY);
  // Multipliers went through text: rounding must not keep what was dropped. Nothing cheaper than the best goes with it.
  const limit = Number.isFinite(best) ? best + model.rounding - noiseOf(model, best) : best;
  const kept = step.kept.map((columns) => new Set(columns));
  const isModel = kept.length === model.groups.length;
  if (!isModel || model.groups.some(({ columns }, g) => step.kept[g]?.some((k) => columns[k] === undefined)))
    throw new LostTrack({ at: `${at}/kept`, why: "other columns than the model has" });
  leftBy(model, step.proof, limit).forEach((columns, g) => {
    const dropped = columns.filter((column) => kept[g]?.has(column) !== true);
    if (dropped.length > 0)
      replay.flaws.push({ at: `${at}/kept/${g}`, why: `columns ${dropped.slice(0, 5).join(" ")} are not proved away` });
  });
  return { found, survivors: step.kept, proof: () => step.proof };
}

function searchedAgain(replay: Replay, court: Court, round: Round, cutoff: number | undefined): Solved {
  const { step, at } = next(replay, "search");
  const { groups } = round.built.model;
  if (step.columns.length !== groups.length || groups.some(({ columns }, g) => columns.length !== step.columns[g]))
    throw new LostTrack({ at: `${at}/columns`, why: "other columns than the candidates that are left" });
  const { status, picks, bound, model, enumerated, flaws } = review(round.built.model, step, {
    judge: (answer) => verdictOn(round, court, answer),
    ...(cutoff === undefined ? {} : { cutoff }),
  });
  replay.branches += step.branches.length;
  replay.enumerated += enumerated;
  replay.flaws.push(...flaws.map((flaw) => ({ ...flaw, at: `${at}${flaw.at}` })));
  const stats = { nodes: 0, judged: step.judged.length, engineCalls: 0, engineFailures: 0, rootColumns: 0 };
  return { status, bound, certificate: step, model, stats, ...(picks === undefined ? {} : { picks }) };
}
