import { InternalFault } from "../faults/fault.ts";
import type { BuiltModel } from "../model/build.ts";
import { buildModel } from "../model/build.ts";
import type { OrderColumns } from "../model/order.ts";
import type { Picks } from "../model/selection.ts";
import type { Duty } from "../physics/duty/duty.ts";
import { type MotorRating, motorRating } from "../physics/limits/rating.ts";
import type { OrderAnswer } from "./answer.ts";
import type { AxisColumn, AxisColumns } from "./axis-columns.ts";
import { type PowerBook, powerBook, type QuickDuty, quickFigures, type Taken } from "./power-book.ts";
import type { PowerMemory } from "./power-memory.ts";
import type { Setup } from "./setup.ts";

/** One round of deciding: the candidates in play, their powers, and the model built from them. */
export interface Round {
  readonly setup: Setup;
  /** By machine and axis. */
  readonly columns: readonly (readonly AxisColumns[])[];
  readonly books: readonly (readonly PowerBook[])[];
  readonly built: BuiltModel;
  readonly order: OrderColumns;
  /** Spans over which the columns count power, by machine and bus. */
  readonly taken: TakenSpans;
}

/** Spans over which columns count power, by machine and bus. */
export type TakenSpans = readonly (readonly Taken[])[];

/** The whole cycle on every bus: energy given back counts as saved. */
export function wholeCycles({ machines }: Setup): TakenSpans {
  return machines.map(({ machine, buses }) => buses.map(() => ({ spans: [{ from: 0, to: machine.cycle }], share: 1 })));
}

/** How exactly the mean power in the columns is worked out: a closed bound for many, the exact mean for few. */
export type MeanPower = "quick" | "exact";

/** Builds the model of a round. */
export function roundOf(
  setup: Setup,
  columns: Round["columns"],
  { mean, taken, memory }: { mean: MeanPower; taken: TakenSpans; memory: PowerMemory },
): Round {
  const books = columns.map((machine, m) =>
    machine.map((axis) => powerBook(axis, setup.machines[m]?.machine.cycle ?? axis.setup.cycle.period)),
  );
  const order: OrderColumns = {
    problem: setup.problem,
    takenShare: Math.min(...taken.flat().map(({ share }) => share)),
    machines: setup.machines.map(({ machine, axes, buses }, m) => ({
      machine,
      axes: axes.map(({ axis, bus, riders }, a) => {
        const own = columns[m]?.[a];
        const book = books[m]?.[a];
        return {
          axis,
          bus,
          riders,
          columns:
            own === undefined || book === undefined
              ? []
              : withMean(own, book, { mean, memory, taken: taken[m]?.[bus] ?? WHOLE }),
        };
      }),
      buses: buses.map(({ options }) => ({ options })),
    })),
  };
  return { setup, columns, books, order, taken, built: buildModel(order) };
}

const WHOLE: Taken = { spans: [], share: 1 };

function withMean(
  axis: AxisColumns,
  book: PowerBook,
  { mean, memory, taken }: { mean: MeanPower; memory: PowerMemory; taken: Taken },
): (AxisColumn & { meanPower: number })[] {
  const reading = { kind: "share" as const, spans: taken.spans };
  const quick = quickMean(axis, (duty) => memory.quick(duty, taken));
  return axis.columns.map((column) => ({
    ...column,
    meanPower: mean === "quick" ? quick(column) : book.least(column, 1, { reading, sum: "billed", mass: undefined }),
  }));
}

/** Mean power of columns from below, in closed form. */
function quickMean(
  { setup: { axis, site }, duties }: AxisColumns,
  quickOf: (duty: Duty) => QuickDuty,
): (column: AxisColumn) => number {
  const ratings = new Map<AxisColumn["motor"], MotorRating>();
  return ({ motor, gearbox, drive, case: at }) => {
    const rating = ratings.get(motor) ?? motorRating(motor, axis.needs, site);
    ratings.set(motor, rating);
    const duty = duties[at];
    if (duty === undefined) throw new InternalFault("quickMean: a column of no case");
    const { base, current } = quickFigures(quickOf(duty), { motor, rating, gearbox });
    return base + drive.lossPerAmp * current;
  };
}

/** The answer that picks of the model stand for. */
export function answerOf({ setup, columns, built }: Round, picks: Picks): OrderAnswer {
  const machines = setup.machines.map(({ axes, buses }) => ({
    axes: Array.from({ length: axes.length }, (): AxisColumn | undefined => undefined),
    buses: buses.map(({ options }) => options[0]),
  }));
  built.places.forEach((place, g) => {
    const pick = picks[g] ?? -1;
    const machine = machines[place.machine];
    if (machine === undefined) return;
    if (place.kind === "bus") {
      machine.buses[place.bus] = setup.machines[place.machine]?.buses[place.bus]?.options[pick];
      return;
    }
    place.axes.forEach((axis, k) => {
      machine.axes[axis] = columns[place.machine]?.[axis]?.columns[place.columns[pick]?.[k] ?? -1];
    });
  });
  return {
    machines: machines.map(({ axes, buses }) => ({
      axes: axes.filter((column) => column !== undefined),
      buses: buses.filter((option) => option !== undefined),
    })),
  };
}
