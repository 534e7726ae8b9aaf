import { judgedAxes } from "../../src/decide/narrow.ts";
import { isSetup, setupOf } from "../../src/decide/setup.ts";
import { asking, type SweepContext } from "../../src/frontier/asking.ts";
import type { CountCaps, Point } from "../../src/frontier/point.ts";
import { type Swept, sweptDown, sweptGrid } from "../../src/frontier/sweep.ts";
import type { FrontierKind } from "../../src/machine/frontier.ts";
import type { RandomMachine } from "../oracle/random-machine.ts";

/** A random order made ready for a sweep without a time limit. */
function contextOf({ problem, catalogue }: RandomMachine): SweepContext {
  const setup = setupOf(problem, catalogue);
  if (!isSetup(setup)) throw new Error(`${problem.title}: ${JSON.stringify(setup)}`);
  return {
    setup,
    judged: judgedAxes(setup),
    engine: "simplex",
    secondsLeft: () => Number.POSITIVE_INFINITY,
    lasting: () => () => 120,
    aborted: () => false,
    progress: () => undefined,
  };
}

/** The sweep of one count, or of two. */
export function sweepOf(machine: RandomMachine, by: FrontierKind, and?: FrontierKind): Promise<Swept> {
  const context = contextOf(machine);
  const ask = asking(context);
  return and === undefined ? sweptDown(context, ask, { kind: by, fixed: {} }) : sweptGrid(context, ask, { by, and });
}

/** The point of a sweep that answers caps: the cheapest order within them; without one, what is known of them. */
export function pointAt(points: readonly Point[], caps: CountCaps): Point | undefined {
  const kinds = Object.entries(caps) as [FrontierKind, number][];
  const within = points.filter(
    ({ order }) => order !== undefined && kinds.every(([kind, cap]) => order.evaluated.money.distinct[kind] <= cap),
  );
  const [cheapest] = within.toSorted(
    (one, other) => (one.order?.evaluated.money.total ?? 0) - (other.order?.evaluated.money.total ?? 0),
  );
  if (cheapest !== undefined) return cheapest;
  return points.find(
    (point) => point.order === undefined && kinds.every(([kind, cap]) => (point.caps[kind] ?? cap) >= cap),
  );
}
