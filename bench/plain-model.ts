import { type AxisColumns, columnsOf, everyVisit, type Visit } from "../src/decide/axis-columns.ts";
import { brakingsOf } from "../src/decide/braking-classes.ts";
import type { JudgedAxes } from "../src/decide/field.ts";
import { type JudgedAxis, judgedAxis } from "../src/decide/judged-axis.ts";
import { powerMemory } from "../src/decide/power-memory.ts";
import { roundOf, wholeCycles } from "../src/decide/round.ts";
import type { Setup } from "../src/decide/setup.ts";
import type { Catalogue } from "../src/machine/catalogue.ts";
import type { SelectionModel } from "../src/model/selection.ts";

/**
 * Selection model of so many candidates an axis, those cheapest in purchase, without the rows that answers would add:
 * every solver gets it in full. Supplies that feed back are left out, because their energy bill has another form.
 */
export function plainModel(whole: Setup, judged: JudgedAxes, count: number): SelectionModel {
  const plainSetup = brakingsOf(whole).first.setup;
  const cheapest = judged.map((axes) => axes.map((axis) => cheapestColumns(axis, whole.catalogue, count)));
  return roundOf(plainSetup, cheapest, {
    mean: "quick",
    taken: wholeCycles(plainSetup),
    memory: powerMemory(),
  }).built.model;
}

function cheapestColumns(
  { setup: own, range, judging: how }: JudgedAxis,
  catalogue: Catalogue,
  count: number,
): AxisColumns {
  const { motors, gearboxes, drives, inductors } = catalogue;
  const axis = judgedAxis({ ...own, isShared: true }, catalogue, { range, judging: how });
  const priceOf = ({ look, index, drive, inductor }: Visit): number => {
    const pair = look.judged.pairs[index];
    const parts = [motors[pair?.motor ?? -1], gearboxes[pair?.gearbox ?? -1], drives[drive], inductors[inductor]];
    return parts.reduce((sum, part) => sum + (part?.prices[0]?.price ?? 0), 0);
  };
  const priced = everyVisit(axis).map((visit) => ({ visit, price: priceOf(visit) }));
  const kept = priced.toSorted((a, b) => a.price - b.price).slice(0, count);
  return columnsOf(
    axis,
    catalogue,
    kept.map(({ visit }) => visit),
  );
}
