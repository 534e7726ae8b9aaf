import type { LimitId } from "../machine/limit.ts";
import type { Picks, SharedRow } from "../model/selection.ts";
import { checkBus } from "./bus-check.ts";
import type { BusRunEvaluated } from "./evaluate.ts";
import { type BusPlace, busGroupIndex, groupOfAxis, whenRidersWeigh } from "./expressions.ts";
import type { Round } from "./round.ts";

/**
 * The picks of one bus with what rides on them, and every supply that fails a limit under them: not together.
 *
 * For limits that are not linear in the power of the picks. What other buses and machines take does not matter.
 */
export function exactCut(
  limit: LimitId,
  { round, picks, place, bus }: { round: Round; picks: Picks; place: BusPlace; bus: BusRunEvaluated },
): SharedRow[] {
  const own = axesOf(round, place);
  const groups = new Set(own.map((axis) => groupOfAxis(round.built.places, place.machine, axis)));
  const riders = whenRidersWeigh(round, { machine: place.machine, carriers: own }, picks);
  const failing = failingSupplies(limit, { round, place, bus });
  const when = [
    ...[...groups].map((group) => ({ group, columns: new Set([picks[group] ?? -1]) })),
    ...riders.filter(({ group }) => !groups.has(group)),
    { group: busGroupIndex(round, place), columns: failing },
  ];
  const picked = when.map(({ group, columns }) => `${group}:${[...columns].join(",")}`).join(" ");
  return [
    {
      id: `${limit}/${place.machine}/${place.bus}/${picked}`,
      origin: { kind: "cut", why: `the picks of this bus fail ${limit}` },
      expression: { factors: new Map(), modules: [], constant: 1 },
      max: 0,
      when,
    },
  ];
}

function axesOf({ setup }: Round, { machine, bus }: BusPlace): number[] {
  const axes = setup.machines[machine]?.axes ?? [];
  return axes.flatMap((axis, index) => (axis.bus === bus ? [index] : []));
}

function failingSupplies(
  limit: LimitId,
  { round, place, bus }: { round: Round; place: BusPlace; bus: BusRunEvaluated },
): Set<number> {
  const machine = round.setup.machines[place.machine];
  const setup = machine?.buses[place.bus];
  if (machine === undefined || setup === undefined) return new Set();
  const around = { site: round.setup.problem.site, voltage: setup.voltage, margin: machine.machine.powerMargin };
  const fails = setup.options.map((option) => checkBus(bus.demand, option, around).failed.includes(limit));
  return new Set(fails.flatMap((isFailing, index) => (isFailing ? [index] : [])));
}
