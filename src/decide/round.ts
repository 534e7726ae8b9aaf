import { entryOf } from "../faults/entry-of.ts";
import type { BuiltModel } from "../model/build.ts";
import { buildModel } from "../model/build.ts";
import type { ColumnPowers, OrderColumns } from "../model/order.ts";
import type { Picks } from "../model/selection.ts";
import type { Duty } from "../physics/duty/duty.ts";
import { motorRating } from "../physics/limits/rating.ts";
import type { OrderAnswer } from "./answer.ts";
import type { AxisColumn, AxisColumns } from "./axis-columns.ts";
import {
  type PowerBook,
  type PowerQuestion,
  powerBook,
  type QuickDuty,
  quickFigures,
  type Taken,
  type TakenRuns,
} from "./power-book.ts";
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
  /** Spans over which the columns count power, by machine, bus and run. */
  readonly taken: TakenSpans;
}

/** Spans over which columns count power, by machine, bus and run. */
export type TakenSpans = readonly (readonly TakenRuns[])[];

/** The whole cycle of every run on every bus: energy given back counts as saved. */
export function wholeCycles({ machines }: Setup): TakenSpans {
  return machines.map(({ runs, buses }) =>
    buses.map(() => runs.map(({ cycle, share }) => ({ spans: [{ from: 0, to: cycle }], share: 1, weight: share }))),
  );
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
    machine.map((axis) => powerBook(axis, setup.machines[m]?.runs ?? [], memory)),
  );
  const order: OrderColumns = {
    problem: setup.problem,
    takenShare: Math.min(...taken.flat(2).map(({ share }) => share)),
    machines: setup.machines.map(({ machine, runs, axes, buses }, m) => ({
      machine,
      shares: runs.map(({ share }) => share),
      axes: axes.map(({ axis, bus, riders }, a) => {
        const own = columns[m]?.[a];
        const book = books[m]?.[a];
        return {
          axis,
          bus,
          riders,
          ...(own === undefined || book === undefined
            ? { columns: [], powers: { runs: [], mean: new Float64Array(0) } }
            : {
                columns: own.columns,
                powers: powersOf(own, book, { mean, memory, taken: entryOf(taken[m], bus) }),
              }),
        };
      }),
      buses: buses.map(({ options }) => ({ options })),
    })),
  };
  return { setup, columns, books, order, taken, built: buildModel(order) };
}

/** Power of columns in each run, and weighted over the runs. */
function powersOf(
  axis: AxisColumns,
  book: PowerBook,
  { mean, memory, taken }: { mean: MeanPower; memory: PowerMemory; taken: TakenRuns },
): ColumnPowers {
  const runs = taken.map((own, run) => {
    const power =
      mean === "quick" ? quickMean(axis, run, (duty) => memory.quick(duty, own)) : exactMean(book, own, run);
    return Float64Array.from(axis.columns, power);
  });
  const sums = new Float64Array(axis.columns.length);
  taken.forEach(({ weight }, run) => {
    const own = entryOf(runs, run);
    for (let k = 0; k < sums.length; k++) sums[k]! += weight * own[k]!;
  });
  return { runs, mean: sums };
}

/** Power of a column [W]. */
type Power = (column: AxisColumn) => number;

/** Mean power of columns in a run, as exactly as their cases of carried mass allow. */
function exactMean(book: PowerBook, { spans }: Taken, run: number): Power {
  const question: PowerQuestion = { reading: { kind: "share", spans }, sum: "billed", mass: undefined, run };
  return (column) => book.least(column, 1, question);
}

/** Mean power of columns in a run from below, in closed form; drives of one motor with gearbox have its figures in common. */
function quickMean(
  { setup: { axis, site }, cases, duties }: AxisColumns,
  run: number,
  quickOf: (duty: Duty) => QuickDuty,
): Power {
  const known = new Map<number, ReturnType<typeof quickFigures>>();
  return ({ pair, motor, gearbox, drive, case: at }) => {
    const key = pair * cases.length + at;
    let figures = known.get(key);
    if (figures === undefined) {
      const rating = motorRating(motor, axis.needs, site);
      figures = quickFigures(quickOf(entryOf(entryOf(duties, at), run)), { motor, rating, gearbox });
      known.set(key, figures);
    }
    return figures.base + drive.lossPerAmp * figures.current;
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
