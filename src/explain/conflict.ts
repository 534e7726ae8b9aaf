import { type Decision, decide } from "../decide/decide.ts";
import { type Leniency, STRICT } from "../decide/leniency.ts";
import type { Setup } from "../decide/setup.ts";
import { type Sourced, sourcesOf } from "../decide/sourcing.ts";
import type { LimitId, Unchecked } from "../machine/limit.ts";
import type { Caps } from "../machine/problem.ts";
import { PASS_TOLERANCE } from "../physics/limits/judgement.ts";
import { type CapSet, capsSet, weighedBy, withCap } from "./caps.ts";
import type { ExplainContext } from "./context.ts";
import type { Obstacle } from "./explanation.ts";

/** One requirement of the whole order that can be let go, to see whether the rest then has an answer. */
interface Requirement {
  readonly name: string;
  readonly leniency: Leniency;
  /** A cap to lift; absent: the supplies of a bus, or dual source. */
  readonly cap?: CapSet;
  readonly isDualSource?: true;
}

/**
 * A smallest set of requirements of the order in conflict: with all of them let go there is an answer; each is put back
 * unless that takes the answer away.
 *
 * Source: deletion filter, J. W. Chinneck, Feasibility and Infeasibility in Optimization (2008).
 */
export async function conflictOf(context: ExplainContext): Promise<Obstacle> {
  const nowhere = { machine: -1, axis: -1, limits: [], unknown: [], nearest: [] };
  if (context.setup.machines.some(({ buses }) => buses.some(({ options }) => options.length === 0))) {
    const note = "no supply in the catalogues feeds a bus of this problem: its mains, phases or voltage";
    return { ...nowhere, note };
  }
  let letGo = requirementsOf(context.setup);
  let free = await decideWithout(context, letGo);
  if (free.evaluated === undefined) {
    const isProved = free.status === "infeasible";
    return { ...nowhere, note: isProved ? AXES_ALONE : "what stands in the way was not found in the time" };
  }
  for (const one of letGo) {
    const without = letGo.filter((other) => other !== one);
    const decision = await decideWithout(context, without);
    if (decision.evaluated !== undefined) [letGo, free] = [without, decision];
  }
  const { decision, isLeast } = await leastOf(context, letGo, free);
  const limits = brokenLimits(context, decision).map(({ id, demand, allowed }) => ({ id, demand, allowed }));
  const names = letGo.map(({ name }) => name).join(" and ");
  return {
    ...nowhere,
    limits,
    unknown: unknownLeadTime(context.setup, decision),
    note: `the axes have candidates, but not together under ${names}${isLeast ? "; less would not do" : ""}${lackWords(context, decision)}`,
  };
}

const AXES_ALONE = "the axes stand in each other's way: what they carry, or parts they must share";

/** The answer that needs least of a cap in conflict alone; otherwise the one found. */
async function leastOf(
  context: ExplainContext,
  letGo: readonly Requirement[],
  found: Decision,
): Promise<{ readonly decision: Decision; readonly isLeast: boolean }> {
  const [only, ...others] = letGo;
  // A part that does not say its lead time would need none.
  if (only?.cap === undefined || others.length > 0 || only.cap.cap.key === "leadTime")
    return { decision: found, isLeast: false };
  const setup = { ...context.setup, problem: weighedBy(context.setup.problem, only.cap) };
  const least = await decideWithout({ ...context, setup }, letGo);
  const { demand, unit } = only.cap.cap;
  const needed = ({ evaluated }: Decision): number =>
    evaluated === undefined ? Number.POSITIVE_INFINITY : demand(evaluated.money);
  if (needed(least) > needed(found)) return { decision: found, isLeast: false };
  // What the machines need together is least: of each alone that is sure where it counts for the order, or where it is one.
  const isAlone = unit === "count" || context.setup.machines.length === 1;
  return { decision: least, isLeast: least.status === "optimal" && isAlone };
}

function requirementsOf({ problem, machines }: Setup): Requirement[] {
  const caps = capsSet(problem).map((cap) => ({
    name: `the cap on ${capWords(cap.cap.key)}`,
    leniency: STRICT,
    cap,
  }));
  const buses = machines.flatMap(({ machine, buses: own }, m) =>
    own.map(({ bus }, b) => ({
      name: `the supplies of bus ${bus.id} of ${machine.id}`,
      leniency: { ...STRICT, bus: (at: number, on: number) => at === m && on === b },
    })),
  );
  const dual: Requirement = { name: "dual source", leniency: STRICT, isDualSource: true };
  return [...caps, ...(problem.dualSource.length > 0 ? [dual] : []), ...buses];
}

function decideWithout(
  { setup, decision, engine, secondsLeft, aborted }: ExplainContext,
  letGo: readonly Requirement[],
): Promise<Decision> {
  const withoutCaps = letGo.reduce(
    (before, { cap }) => (cap === undefined ? before : withCap(before, cap.cap, undefined)),
    setup.problem,
  );
  const isDual = !letGo.some(({ isDualSource }) => isDualSource);
  const problem = isDual ? withoutCaps : { ...withoutCaps, dualSource: [] };
  const leniency: Leniency = {
    ...STRICT,
    bus: (m, b, limit: LimitId) => letGo.some((one) => one.leniency.bus(m, b, limit)),
  };
  return decide(
    { ...setup, problem },
    { engine, secondsLeft, aborted, progress: () => undefined, ties: false, leniency },
    decision.judged,
  );
}

/** What the answer breaks of the buses and of the caps as the problem has them. */
function brokenLimits(context: ExplainContext, decision: Decision): Obstacle["limits"] {
  const { setup } = context;
  const { evaluated } = decision;
  if (evaluated === undefined) return [];
  const buses = evaluated.machines.flatMap(({ buses: own }) =>
    own.flatMap(({ judgement }) => judgement.limits.filter(({ id }) => judgement.failed.includes(id))),
  );
  const caps = capsSet(setup.problem).flatMap(({ cap: { id, demand }, allowed }) =>
    demand(evaluated.money) > allowed * (1 + PASS_TOLERANCE) ? [{ id, demand: demand(evaluated.money), allowed }] : [],
  );
  const lacking = lackingParts(context, decision).length;
  const dual = lacking === 0 ? [] : [{ id: "order.dual_source" as const, demand: lacking, allowed: 0 }];
  return [...buses, ...caps, ...dual];
}

/** Parts of an answer that lack the substitute which the problem demands. */
function lackingParts({ decision: { sourcing } }: ExplainContext, { answer, evaluated }: Decision): Sourced[] {
  if (answer === undefined || evaluated === undefined) return [];
  const sources = sourcesOf(sourcing, { answer, evaluated }, STRICT);
  return sources.filter(({ substitute }) => substitute === undefined);
}

function lackWords(context: ExplainContext, decision: Decision): string {
  const lacking = lackingParts(context, decision).map(({ part }) => `${part.kind} ${part.part}`);
  return lacking.length === 0 ? "" : `; the cheapest order without it has no substitute for ${lacking.join(", ")}`;
}

/** A cap on lead time is a question to every part; one that does not say fails it. */
function unknownLeadTime({ problem: { caps } }: Setup, { evaluated }: Decision): Unchecked[] {
  const isSilent = evaluated?.money.lines.some(({ part }) => part.leadTime === undefined) ?? false;
  return caps.leadTime !== undefined && isSilent ? [{ id: "machine.lead_time", missing: "lead_time" }] : [];
}

/** `cabinetWidth` as a reader writes it: cabinet width. */
function capWords(key: keyof Caps): string {
  return key.replaceAll(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
}
