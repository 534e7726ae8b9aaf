import type { Picks, SharedRow } from "../model/selection.ts";
import { busCuts } from "./bus-cuts.ts";
import type { EvaluatedOrder } from "./evaluate.ts";
import { groupOfAxis, whenRidersWeigh } from "./expressions.ts";
import type { Leniency } from "./leniency.ts";
import type { Round } from "./round.ts";

/** Rows that the answer breaks and the model lacks: each is true of every answer that stands. */
export function cutsFor(
  round: Round,
  picks: Picks,
  { evaluated, leniency }: { evaluated: EvaluatedOrder; leniency: Leniency },
): SharedRow[] {
  return evaluated.machines.flatMap(({ axes, buses }, machine) => [
    ...axes.flatMap(({ judgement }, axis) => {
      const stands = judgement.failed.length === 0 || leniency.axis(machine, axis, judgement);
      return stands ? [] : [axisCut(round, picks, { machine, axis, why: judgement.failed.join(", ") })];
    }),
    ...buses.flatMap(({ runs }, b) =>
      runs.flatMap((bus, run) => {
        const failed = bus.judgement.failed.filter((limit) => !leniency.bus(machine, b, limit));
        return busCuts({ round, picks, place: { machine, bus: b }, run, bus }, failed);
      }),
    ),
  ]);
}

/** The axis's column fails with what rides on it. */
function axisCut(
  round: Round,
  picks: Picks,
  { machine, axis, why }: { machine: number; axis: number; why: string },
): SharedRow {
  const group = groupOfAxis(round.built.places, machine, axis);
  const column = picks[group] ?? 0;
  const factors = new Float64Array(round.built.model.groups[group]?.columns.length ?? 0);
  factors[column] = 1;
  const when = whenRidersWeigh(round, { machine, carriers: [axis] }, picks);
  const weights = [...when].map(({ group: g }) => `${g}:${picks[g]}`).join(" ");
  return {
    id: `fails/${group}/${column}/${weights}`,
    origin: { kind: "cut", why: `${round.built.model.groups[group]?.id} fails ${why}` },
    expression: { factors: new Map([[group, factors]]), modules: [], constant: 0 },
    max: 0,
    when,
  };
}
