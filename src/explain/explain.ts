import { axisBinding } from "./axis-binding.ts";
import { busBinding } from "./bus-binding.ts";
import { capBinding, dualSourceBinding } from "./cap-binding.ts";
import { capsSet } from "./caps.ts";
import { conflictOf } from "./conflict.ts";
import type { ExplainContext } from "./context.ts";
import type { BindingFound, BusFound, CapFound, Explanation, Obstacle } from "./explanation.ts";
import { obstacleOf } from "./obstacles.ts";

/** Explains an answer: the binding limits of every axis and bus, and what every cap and dual source cost. */
export async function explain(context: ExplainContext): Promise<Explanation> {
  const { machines, problem } = context.setup;
  const caps = capsSet(problem);
  const ofOrder = caps.length + Math.min(1, problem.dualSource.length);
  const questions = machines.reduce((sum, { axes, buses }) => sum + axes.length + buses.length, ofOrder);
  let done = 0;
  /** Twice an even share of the time left: most questions need less than theirs. */
  const next = (): ExplainContext => {
    const left = context.secondsLeft();
    if (!Number.isFinite(left)) return context;
    const later = left * Math.max(0, 1 - 2 / (questions - done));
    return { ...context, secondsLeft: () => context.secondsLeft() - later };
  };
  const counted = async <T>(answer: Promise<T>): Promise<T> => {
    const found = await answer;
    done += 1;
    context.progress(done, questions);
    return found;
  };
  const axes: BindingFound[][] = [];
  const buses: BusFound[][] = [];
  for (const [machine, { axes: own, buses: fed }] of machines.entries()) {
    axes.push([]);
    buses.push([]);
    for (const axis of own.keys()) axes[machine]?.push(await counted(axisBinding(next(), { machine, axis })));
    for (const bus of fed.keys()) buses[machine]?.push(await counted(busBinding(next(), { machine, bus })));
  }
  const found: (CapFound | undefined)[] = [];
  for (const set of caps) found.push(await counted(capBinding(next(), set)));
  if (problem.dualSource.length > 0) found.push(await counted(dualSourceBinding(next())));
  return { axes, buses, caps: found.filter((cap) => cap !== undefined) };
}

/** Explains why there is no answer: axes without candidates, or the conflict of the order. */
export async function explainInfeasible(context: ExplainContext): Promise<Obstacle[]> {
  const obstacles = axisObstacles(context);
  return obstacles.length > 0 ? obstacles : [await conflictOf(context)];
}

/** Axes without candidates, each with what comes nearest; none where the axes are in conflict with each other only. */
export function axisObstacles({ setup, decision }: Pick<ExplainContext, "setup" | "decision">): Obstacle[] {
  const { empty, judged } = decision;
  return empty.map((place) => obstacleOf(setup, place, judged[place.machine]?.[place.axis]?.range.low ?? 0));
}
