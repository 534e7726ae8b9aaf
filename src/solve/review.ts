import type { Picks, SelectionModel, Verdict } from "../model/selection.ts";
import { type Proof, proveAgain } from "./certificate.ts";
import { type Core, coreOf } from "./core.ts";
import { isFeasible } from "./cost.ts";
import { addRows, type Court, exclude, isBetter, limitOf, newCourt, noiseOf } from "./court.ts";
import { boundOf, statusOf } from "./ending.ts";
import { wrongMultiplier } from "./multipliers.ts";
import type { Certificate, CertificateBranch, Decision, OutcomeStatus } from "./outcome.ts";

/** What is needed to go through a search again. */
export interface ReviewTask {
  readonly judge: (picks: Picks) => Verdict;
  /** Only answers cheaper than this were wanted. */
  readonly cutoff?: number;
}

/** Something in a certificate that does not hold. */
export interface Flaw {
  /** JSON pointer within the certificate. */
  readonly at: string;
  readonly why: string;
  /** It may be true, but it was too much to see through. */
  readonly isOpen?: true;
}

/** A search gone through again: what it comes to, worked out anew, and what its certificate says wrongly. */
export interface Review {
  readonly status: OutcomeStatus;
  readonly picks?: Picks;
  /** No answer costs less. */
  readonly bound: number;
  /** With the rows that the judge made of the answers. */
  readonly model: SelectionModel;
  /** Leaves seen through answer by answer. */
  readonly enumerated: number;
  readonly flaws: readonly Flaw[];
}

/**
 * Goes through a search again by its certificate, without ascents, searches or engines: the answers are judged anew, in
 * their order, which brings back the rows of the model; then every branch is proved.
 *
 * @param model - as it was before the search
 */
export function review(model: SelectionModel, certificate: Certificate, task: ReviewTask): Review {
  const core = coreOf(model);
  const malformed = malformedIn(core, certificate);
  if (malformed.length > 0) return { status: "unknown", bound: -Infinity, model, enumerated: 0, flaws: malformed };
  const court = newCourt(core, task);
  const costs = hearAgain(court, certificate);
  const proof = proveAgain(core.model, certificate);
  const isComplete = certificate.branches.every(({ closedBy }) => closedBy !== "open");
  const status = statusOf(court, isComplete);
  const bound = openBound(certificate, proof);
  return {
    status,
    ...(court.best === undefined ? {} : { picks: court.best.picks }),
    ...boundOf(court, { limit: certificate.limit, bound }, status),
    model: core.model,
    enumerated: proof.enumerated.length,
    flaws: [...costs, ...limitFlaws(court, certificate), ...branchFlaws(core, certificate, proof)],
  };
}

/** What cannot be followed at all. */
function malformedIn(core: Core, { branches, judged }: Certificate): Flaw[] {
  const { groups } = core.model;
  const isAnswer = (picks: Picks): boolean =>
    picks.length === groups.length && groups.every(({ columns }, g) => columns[picks[g]!] !== undefined);
  const strangers = judged.flatMap(({ picks }, k) =>
    isAnswer(picks) ? [] : [{ at: `/judged/${k}`, why: "no answer of the model" }],
  );
  const undecided = branches.flatMap(({ fixed, parent }, k) =>
    isKnown(core, fixed) && parent < k ? [] : [{ at: `/branches/${k}`, why: "no branch of the model" }],
  );
  return [...strangers, ...undecided];
}

/** Whether a decision is one about the model; fewer units than one are no border. */
function isKnown({ model, counted }: Core, fixed: Decision | undefined): boolean {
  if (fixed === undefined) return true;
  if (fixed.kind === "units") return counted[fixed.part] !== undefined && fixed.units >= 1;
  return (fixed.kind === "part" ? model.parts[fixed.part] : model.groups[fixed.group]) !== undefined;
}

/** Judges the answers again: their rows go into the core, the best is kept, and none needs to be proved worse. */
function hearAgain(court: Court, { judged }: Certificate): Flaw[] {
  const { core } = court;
  return judged.flatMap(({ picks, cost: stated }, k) => {
    const verdict = court.judge(picks);
    addRows(court, verdict);
    if (isFeasible(core.model, picks)) exclude(court, picks);
    const { cost } = verdict;
    if (cost !== undefined && isBetter(court, cost)) court.best = { picks, cost };
    if (isSame(core, cost, stated)) return [];
    return [{ at: `/judged/${k}/cost`, why: `stated ${said(stated)}, worked out ${said(cost)}` }];
  });
}

function isSame({ model }: Core, one: number | undefined, other: number | undefined): boolean {
  if (one === undefined || other === undefined) return one === other;
  return Math.abs(one - other) <= noiseOf(model, one);
}

function said(cost: number | undefined): string {
  return cost === undefined ? "that it does not stand" : `${cost} cent`;
}

/** The search must have looked at everything that could be better than the best. */
function limitFlaws(court: Court, { limit }: Certificate): Flaw[] {
  const needed = limitOf(court);
  if (limit >= needed - noiseOf(court.core.model, needed)) return [];
  return [{ at: "/limit", why: `${limit} cent leaves cheaper answers out, up to ${needed}` }];
}

function openBound({ branches, limit }: Certificate, { bounds }: Proof): number {
  return branches.reduce(
    (least, { closedBy }, k) => (closedBy === "open" ? Math.min(least, bounds[k]!) : least),
    limit,
  );
}

function branchFlaws(core: Core, { branches, limit }: Certificate, { unproved, missed, bounds }: Proof): Flaw[] {
  const noise = 2 * noiseOf(core.model, Number.isFinite(limit) ? limit : 0);
  const signs = branches.flatMap(({ steps, multipliers }, k): Flaw[] => {
    const all = [...steps, multipliers].map((one) => wrongMultiplier(core, one));
    const wrong = all.find((name) => name !== undefined);
    return wrong === undefined ? [] : [{ at: `/branches/${k}`, why: `no multiplier: ${wrong}` }];
  });
  const boasts = branches.flatMap(({ bound }, k): Flaw[] => {
    const found = bounds[k]!;
    const isTrue = bound <= found + noise;
    return isTrue ? [] : [{ at: `/branches/${k}/bound`, why: `states ${bound} cent, its multipliers prove ${found}` }];
  });
  const gaps = unproved.flatMap((k): Flaw[] => {
    const branch = branches[k];
    if (branch === undefined) return [{ at: "/branches", why: "no branch spans all answers" }];
    return branch.closedBy === "open" ? [] : [{ at: `/branches/${k}`, ...gapOf(branch) }];
  });
  const cheaper = missed.map((picks): Flaw => {
    return { at: "/branches", why: `an answer at or below the limit was never judged: columns ${picks.join(" ")}` };
  });
  return [...signs, ...boasts, ...gaps, ...cheaper];
}

function gapOf({ closedBy }: CertificateBranch): Omit<Flaw, "at"> {
  if (closedBy === "split") return { why: "its children leave answers out" };
  if (closedBy === "engine") return { why: "too large to see through without an engine", isOpen: true };
  return { why: "its multipliers leave too many answers" };
}
