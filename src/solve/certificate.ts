import type { SelectionModel } from "../model/selection.ts";
import { decide } from "./branching.ts";
import { type Core, coreOf } from "./core.ts";
import { noiseOf } from "./court.ts";
import { type Domain, fullDomain } from "./domain.ts";
import { weightsFrom } from "./multipliers.ts";
import type { Certificate, CertificateBranch, Decision } from "./outcome.ts";
import { refix } from "./refix.ts";
import { answersWithin } from "./see-through.ts";

/** What a second look at a certificate found. */
export interface Proof {
  /** Indices of branches that could not be proved: wrong, left open, or too large to enumerate; -1: there is no root. */
  readonly unproved: readonly number[];
  /** Answers at or below the limit that were found without having been judged. */
  readonly missed: readonly (readonly number[])[];
  /** By branch: no answer of it costs less; Infinity: nothing at or below the limit is left in it, however far above it lies. */
  readonly bounds: readonly number[];
  /** Branches that were seen through answer by answer. */
  readonly enumerated: readonly number[];
}

/** Most parts that one leaf is split into. */
const PARTS = 20_000;

/**
 * Proves a certificate again in own arithmetic, without any engine: that the branches leave nothing out, that each
 * closed one holds no answer at or below the limit but those judged.
 *
 * @param model - the outcome's model, with the rows added on the way
 */
export function proveAgain(model: SelectionModel, certificate: Certificate, most: number = PARTS): Proof {
  const core = coreOf(model);
  // Multipliers went through text: bounds may differ by rounding noise, for which the limit has room.
  const limit = certificate.limit - noiseOf(model, certificate.limit);
  const domains: (Domain | undefined)[] = [];
  const bounds: number[] = [];
  const missed: (readonly number[])[] = [];
  const unproved: number[] = hasRoot(certificate) || model.groups.length === 0 ? [] : [-1];
  for (const [index, branch] of certificate.branches.entries()) {
    const { domain, bound } = domainOf(core, branch, domains[branch.parent], limit);
    domains.push(domain);
    const least = Math.max(bound, bounds[branch.parent] ?? -Infinity);
    const isShut = least === Infinity || least > limit;
    bounds.push(isShut ? Infinity : least);
    if (isShut) continue;
    const found = leftIn({ core, certificate, limit, most }, index, domain);
    if (found === undefined) unproved.push(index);
    else missed.push(...found.filter((picks) => !isJudged(certificate, picks)));
  }
  const enumerated = certificate.branches.flatMap((branch, k) =>
    isLeaf(branch) && bounds[k] !== Infinity && !unproved.includes(k) ? [k] : [],
  );
  return { unproved, missed, bounds, enumerated };
}

function isLeaf({ closedBy }: CertificateBranch): boolean {
  return closedBy !== "split" && closedBy !== "open";
}

/** Whether some branch spans everything: the others are then parts of it. */
function hasRoot({ branches }: Certificate): boolean {
  return branches.some(({ parent, fixed }) => parent === -1 && fixed === undefined);
}

interface Review {
  readonly core: Core;
  readonly certificate: Certificate;
  readonly limit: number;
  readonly most: number;
}

/** Answers at or below the limit that a branch leaves to no other; undefined: not proved. */
function leftIn(review: Review, index: number, domain: Domain): number[][] | undefined {
  const branch = review.certificate.branches[index]!;
  if (branch.closedBy === "split") return coversAll(review.core, review.certificate, index, domain) ? [] : undefined;
  return branch.closedBy === "open" ? undefined : answersIn(review, domain, branch);
}

function domainOf(
  core: Core,
  { fixed, steps, multipliers }: CertificateBranch,
  parent: Domain | undefined,
  limit: number,
): { domain: Domain; bound: number } {
  const before = parent ?? fullDomain(core);
  const domain = fixed === undefined ? before : decide(core, before, fixed);
  const proof = [...steps, multipliers].map((one) => weightsFrom(core, one));
  return { domain, bound: refix(core, domain, proof, limit) };
}

/** Whether the children's decisions leave no column out. */
function coversAll(core: Core, { branches }: Certificate, parent: number, domain: Domain): boolean {
  const decisions = branches.flatMap((one) => (one.parent === parent && one.fixed !== undefined ? [one.fixed] : []));
  const [first] = decisions;
  if (first === undefined) return false;
  if (first.kind === "column") return coversGroup(core, decisions, first.group, domain);
  return [true, false].every((isUsed) => decisions.some((one) => isSameSplit(one, first) && one.isUsed === isUsed));
}

type Binary = Exclude<Decision, { readonly kind: "column" }>;

function isSameSplit(one: Decision, first: Binary): one is Binary {
  if (one.kind === "column" || one.kind !== first.kind || one.part !== first.part) return false;
  if (one.kind === "units" && first.kind === "units") return one.units === first.units;
  return one.kind !== "link" || first.kind !== "link" || one.group === first.group;
}

function coversGroup(core: Core, decisions: readonly Decision[], group: number, domain: Domain): boolean {
  const covered = new Set(
    decisions.flatMap((one) => (one.kind === "column" && one.group === group ? one.columns : [])),
  );
  return domain.alive[group]!.every((column) => covered.has(column - core.offset[group]!));
}

/** Every answer at or below the limit in a leaf; undefined: too many to look at. */
function answersIn(
  { core, limit, most }: Review,
  domain: Domain,
  { multipliers }: CertificateBranch,
): number[][] | undefined {
  return answersWithin(core, domain, weightsFrom(core, multipliers), { limit, most });
}

function isJudged({ judged }: Certificate, picks: readonly number[]): boolean {
  const key = picks.join(" ");
  return judged.some((one) => one.picks.join(" ") === key);
}
