import type { LimitId } from "../machine/limit.ts";
import type { LimitResult } from "../machine/result.ts";
import type { Compared, FigureId, Verdict } from "../machine/verification.ts";
import type { Check } from "./evaluate-pick.ts";
import { worstChecks } from "./runs.ts";
import { sizeOf } from "./table-units.ts";

/** Agreement: |Δ| ≤ 0.1 % of max(demand, 1 % of allowed). Source: common practice, no source. */
export const TOLERANCE = { of_demand: 1e-3, of_allowed: 1e-2 } as const;

/** Limits of one run of a machine; of what has no runs, such as caps, one without a mode. */
export interface RunChecks {
  /** Absent: the normal cycle. */
  readonly mode?: string;
  readonly checks: readonly Check[];
}

/**
 * Every limit of a list beside its simulation; what only one side has is missing. The figures must be those of the run in
 * which the result says that the limit is nearest to failing, and no other run may be nearer.
 */
export function compareLimits(
  stated: readonly LimitResult[],
  runs: readonly RunChecks[],
  currency: string,
): readonly Compared[] {
  const worst = worstChecks(runs.map(({ checks }) => checks));
  const known = stated.map((limit) => {
    const inItsRun = byId(runs.find(({ mode }) => mode === limit.mode)?.checks ?? [], limit.id);
    const own = compareLimit(limit, inItsRun, currency);
    return own.verdict === "agrees" ? compareLimit(limit, byId(worst, limit.id), currency) : own;
  });
  const others = worst.filter(({ id }) => !stated.some((limit) => limit.id === id));
  return [...known, ...others.map(onlySimulated)];
}

function byId(checks: readonly Check[], id: LimitId): Check | undefined {
  return checks.find((check) => check.id === id);
}

function compareLimit(limit: LimitResult, check: Check | undefined, currency: string): Compared {
  const { id, unit, demand, allowed, mode } = limit;
  const own = { id, unit, demand, allowed, ...(mode === undefined ? {} : { mode }) };
  if (check === undefined) {
    return { ...own, simulated: null, simulated_allowed: null, difference: null, verdict: "missing" };
  }
  const size = sizeOf(id, unit, currency);
  const [simulated, simulated_allowed] = [check.demand / size, check.allowed / size];
  const difference = differenceOf(limit, simulated, simulated_allowed);
  const passes = check.passes || check.demand <= check.allowed * (1 + STEP_ERROR);
  const verdict = verdictOf(isConsistent(limit) ? difference : Infinity, passes);
  const seen = { simulated: finite(simulated), simulated_allowed: finite(simulated_allowed) };
  return { ...own, ...seen, difference: finite(difference), verdict };
}

/** What the steps themselves may be off: a pick right at its limit does not fail by it. */
const STEP_ERROR = 1e-4;

/** The larger difference of demand and allowed, as a share. */
function differenceOf({ id, demand, allowed }: LimitResult, simulated: number, simulatedAllowed: number): number {
  // Where two instants are equally bad, either may be named: their share of the envelope counts.
  if (id === "motor.torque_at_speed") return differenceOfShares(demand / allowed, simulated / simulatedAllowed);
  const scale = Math.max(Math.abs(simulated), TOLERANCE.of_allowed * Math.abs(simulatedAllowed));
  const ofAllowed = shareOf(allowed - simulatedAllowed, Math.abs(simulatedAllowed));
  return Math.max(shareOf(demand - simulated, scale), ofAllowed);
}

function differenceOfShares(stated: number, simulated: number): number {
  return shareOf(stated - simulated, Math.max(Math.abs(simulated), TOLERANCE.of_allowed));
}

function onlySimulated({ id, demand, allowed }: Check): Compared {
  return {
    id,
    unit: "SI",
    demand: null,
    allowed: null,
    simulated: finite(demand),
    simulated_allowed: finite(allowed),
    difference: null,
    verdict: "missing",
  };
}

/** A share of the scale; nothing of nothing is no difference. */
function shareOf(difference: number, scale: number): number {
  return difference === 0 ? 0 : Math.abs(difference) / scale;
}

/** JSON has no word for what is not finite, such as a figure in an unknown unit. */
function finite(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}

/** NaN, from an unknown unit, differs too. */
function verdictOf(difference: number, passes: boolean): Verdict {
  if (!(difference <= TOLERANCE.of_demand)) return "differs";
  return passes ? "agrees" : "fails";
}

/** The utilisation of a limit is its demand over what is allowed. */
function isConsistent({ demand, allowed, utilisation }: LimitResult): boolean {
  if (allowed <= 0 || utilisation === null) return true;
  return Math.abs(utilisation - Math.max(0, demand / allowed)) <= 1e-6 * Math.max(1, utilisation);
}

/** A figure of the result that is no limit, beside the simulation's. */
export interface Figure {
  readonly id: FigureId;
  readonly unit: string;
  readonly stated: number;
  readonly simulated: number;
  /** What the difference is a share of; absent: the simulated value. */
  readonly scale?: number;
}

/** Figures that are no limits; money may be off by the rounding to whole cents. */
export function compareFigure({ id, unit, stated, simulated, scale = simulated }: Figure, currency: string): Compared {
  const rounding = unit === currency ? HALF_CENT : 0;
  const difference = shareOf(Math.max(0, Math.abs(stated - simulated) - rounding), Math.abs(scale));
  return {
    id,
    unit,
    demand: finite(stated),
    allowed: null,
    simulated: finite(simulated),
    simulated_allowed: null,
    difference: finite(difference),
    verdict: verdictOf(difference, true),
  };
}

const HALF_CENT = 0.0051;
