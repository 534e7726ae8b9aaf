import type { OrderAnswer } from "../decide/answer.ts";
import type { EvaluatedMachine, EvaluatedOrder } from "../decide/evaluate.ts";
import type { JudgedAxes } from "../decide/field.ts";
import type { MachineTotals } from "../decide/money.ts";
import type { MachineSetup } from "../decide/setup.ts";
import type { CapFound, Explanation } from "../explain/explanation.ts";
import { entryOf } from "../faults/entry-of.ts";
import type { MachineResult, ModuleResult } from "../machine/result.ts";
import { axisResult } from "./axis-result.ts";
import { withCapPrices } from "./bindings.ts";
import { busResult } from "./bus-result.ts";
import { type UnitPrice, unitPrices } from "./part-names.ts";
import type { DocumentInput } from "./result-document.ts";
import type { TableWriter } from "./table-units.ts";

/** What one machine of the document is written from. */
export interface MachineSource {
  readonly setup: MachineSetup;
  readonly evaluated: EvaluatedMachine;
  readonly totals: MachineTotals;
  readonly options: OrderAnswer["machines"][number]["buses"];
  readonly judged: JudgedAxes[number];
  /** undefined: not searched for. */
  readonly axesFound: Explanation["axes"][number] | undefined;
  readonly busesFound: Explanation["buses"][number] | undefined;
  readonly caps: readonly CapFound[];
  readonly hoursPerYear: number;
  readonly price: UnitPrice;
  readonly table: TableWriter;
}

/** The machines of an answer. */
export function machineResults(input: DocumentInput, evaluated: EvaluatedOrder, table: TableWriter): MachineResult[] {
  const { setup, decision, explanation } = input;
  const price = unitPrices(evaluated.money.lines);
  return setup.machines.map((machine, index) =>
    machineResult({
      setup: machine,
      evaluated: entryOf(evaluated.machines, index),
      totals: entryOf(evaluated.money.totals, index),
      options: entryOf(decision.answer?.machines, index).buses,
      judged: entryOf(decision.judged, index),
      axesFound: explanation?.axes[index],
      busesFound: explanation?.buses[index],
      caps: explanation?.caps ?? [],
      hoursPerYear: input.problem.weights.energy.hoursPerYear,
      price,
      table,
    }),
  );
}

function machineResult(source: MachineSource): MachineResult {
  const { setup, evaluated, totals, table } = source;
  return {
    id: setup.machine.id,
    quantity: setup.machine.quantity,
    totals: {
      price: table.figure(totals.price, "cent"),
      mass: table.figure(totals.mass, "kg"),
      cabinet_width: table.figure(totals.cabinetWidth, "m"),
      energy: (totals.input * source.hoursPerYear) / 1000,
    },
    buses: setup.buses.map((_, bus) => busResult(source, bus)),
    modules: evaluated.modules.map((module) => moduleResult(setup, module)),
    axes: setup.axes.map((_, axis) => axisResult(source, axis)),
    limits: withCapPrices(totals.limits.map(table.limit), source.caps, table),
  };
}

function moduleResult(setup: MachineSetup, { drive, bus, axes }: EvaluatedMachine["modules"][number]): ModuleResult {
  return {
    drive: drive.part,
    drive_maker: drive.maker,
    bus: entryOf(setup.buses, bus).bus.id,
    axes: axes.map((axis) => entryOf(setup.axes, axis).axis.id),
  };
}
