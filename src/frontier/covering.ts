import { DRIVE_STATE } from "../candidates/judge-drives.ts";
import type { JudgedAxes } from "../decide/field.ts";
import { filtered, type Look } from "../decide/judged-axis.ts";
import type { AnyPart, Catalogue } from "../machine/catalogue.ts";
import type { FrontierKind } from "../machine/frontier.ts";
import { COUNTS, type Demand } from "./demands.ts";

/** So many steps are spent on a question; what is not settled by then is left to deciding. */
const STEPS = 300_000;

/** Things that an order under a cap can hold. */
export interface Useful {
  /** Among those that meet some demand. */
  readonly among: ReadonlySet<string>;
  /** Whether there is room for any that meets none, such as a gearbox where an axis does without. */
  readonly others: boolean;
}

/**
 * Things of a kind that belong to some set, no larger than a cap, which meets every demand: an order under the cap holds no
 * others. None among those demanded: no set is that small, so there is no order. Undefined: too many sets to go through.
 *
 * Source: exact hitting set by branching on the demand with the fewest choices; from memory.
 */
export function useful(demands: readonly Demand[], cap: number): Useful | undefined {
  const budget = { left: STEPS };
  const leavesRoom = (left: readonly Demand[]): boolean => cap > 0 && canMeet(left, cap - 1, budget);
  const all = new Set(demands.flatMap(({ choices }) => [...choices]));
  const among = new Set<string>();
  for (const choice of all) if (budget.left > 0 && leavesRoom(unmet(demands, choice))) among.add(choice);
  const others = leavesRoom(demands);
  if (budget.left <= 0) return undefined;
  return { among, others };
}

function canMeet(demands: readonly Demand[], cap: number, budget: { left: number }): boolean {
  const [tightest] = demands;
  if (tightest === undefined) return true;
  if (cap === 0) return false;
  for (const choice of tightest.choices) {
    budget.left -= demands.length;
    if (budget.left <= 0) return false;
    if (canMeet(unmet(demands, choice), cap - 1, budget)) return true;
  }
  return false;
}

/** Demands that a thing does not meet, in their order: fewest choices first. */
function unmet(demands: readonly Demand[], choice: string): Demand[] {
  return demands.filter(({ choices }) => !choices.has(choice));
}

/** The candidates whose parts of a kind are among some. */
export function judgedWith(
  judged: JudgedAxes,
  catalogue: Catalogue,
  { kind, demands, kept }: { kind: FrontierKind; demands: readonly Demand[]; kept: Useful },
): JudgedAxes {
  const isDemanded = (thing: string): boolean => demands.some(({ choices }) => choices.has(thing));
  const isKept = (part: AnyPart): boolean => {
    const thing = COUNTS[kind](part);
    if (thing === undefined || kept.among.has(thing)) return true;
    return kept.others && !isDemanded(thing);
  };
  const motors = catalogue.motors.map(isKept);
  const gearboxes = catalogue.gearboxes.map(isKept);
  const drives = catalogue.drives.map(isKept);
  const look = ({ cases, judged: of }: Look): Look => ({
    cases,
    judged: filtered(of, (states, { motor, gearbox }) => {
      if (!motors[motor] || (gearbox >= 0 && !gearboxes[gearbox])) return undefined;
      const state = states.state.map((how, drive) => (drives[drive] ? how : DRIVE_STATE.rejected));
      return state.some((how) => how !== DRIVE_STATE.rejected) ? { ...states, state } : undefined;
    }),
  });
  return judged.map((axes) => axes.map((axis) => ({ ...axis, looks: axis.looks.map(look) })));
}
