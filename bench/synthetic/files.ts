import { makerFiles } from "../../catalogs/make/maker.ts";
import { seeded } from "../../catalogs/make/seeded.ts";
import { rounded } from "../../catalogs/make/sheet.ts";
import { CYCLE, type DrawnAxis, drawAxes } from "./axis.ts";
import { syntheticMakers } from "./makers.ts";
import type { PowerRange } from "./power-range.ts";
import { portion } from "./shares.ts";
import type { Wish } from "./wish.ts";

/** Name of the problem file among the files of a wish. */
export const PROBLEM_FILE = "problem.json";

/** Every file of an invented order by path: the problem, and the catalogues it names. The same wish gives the same bytes. */
export function syntheticFiles(wish: Wish): Map<string, string> {
  const machines = Array.from({ length: wish.machines }, (_, at) =>
    drawAxes(portion(wish.axes, wish.machines, at), wish.carried, seeded(`synthetic ${wish.seed} machine ${at}`)),
  );
  const makers = syntheticMakers(wish, powerRange(wish, machines));
  const catalogs = makers.map(({ slug }) => `catalogs/${slug}`);
  return new Map([
    [PROBLEM_FILE, `${JSON.stringify(problemOf(wish, machines, catalogs), null, 2)}\n`],
    ...makers.flatMap(makerFiles).map(([path, text]): [string, string] => [`catalogs/${path}`, text]),
  ]);
}

/** Share of all peaks that may meet; and of the guess, what the largest supply on offer gives. */
const MEETING = 0.45;
const ROOMY = 4;
const TIGHT = 0.6;

/** Supplies around a guess of what the machine with the most axes draws. */
function powerRange(wish: Wish, machines: readonly (readonly DrawnAxis[])[]): PowerRange {
  const needs = (isLow: boolean): number =>
    Math.max(...machines.map((axes) => guessedPower(axes.filter((axis) => isOnLow(wish, axis) === isLow))));
  const main = needs(false);
  const most = (wish.isSupplyTight ? TIGHT : ROOMY) * main;
  return { least: (wish.isSupplyTight ? 0.2 : 0.4) * main, most, low: wish.buses === 2 ? ROOMY * needs(true) : 0 };
}

function isOnLow({ buses }: Wish, { isLow }: DrawnAxis): boolean {
  return buses === 2 && isLow;
}

/** Continuous power of a supply that might do [W]: it gives twice as much at peaks. */
function guessedPower(axes: readonly DrawnAxis[]): number {
  const sum = (of: (axis: DrawnAxis) => number): number => axes.reduce((total, axis) => total + of(axis), 0);
  const largest = Math.max(0, ...axes.map(({ peak }) => peak));
  return (
    300 +
    Math.max(
      sum(({ mean }) => mean),
      0.5 * Math.max(largest, MEETING * sum(({ peak }) => peak)),
    )
  );
}

function problemOf(wish: Wish, machines: readonly (readonly DrawnAxis[])[], catalogs: readonly string[]): unknown {
  return {
    title: `synthetic order, invented: seed ${wish.seed}, ${wish.axes} axes, ${wish.parts} parts`,
    catalogs,
    site: { ambient: "35 degC", cabinet_ambient: "40 degC", altitude: "300 m", mains: "400 V", phases: 3 },
    machines: machines.map((axes, at) => ({
      id: `machine-${at + 1}`,
      quantity: wish.quantity,
      cycle: `${CYCLE} s`,
      ...(wish.buses === 2 ? { buses: [{ id: "main" }, { id: "low", voltage: "48 V" }] } : {}),
      axes: axes.map((axis) => ({ ...axis.json, ...(isOnLow(wish, axis) ? { bus: "low" } : {}) })),
    })),
    weights: {
      currency: "EUR",
      purchase: 1,
      ...(wish.hasVariety
        ? { variety: { motor: 450, frame: 300, gearbox: 250, drive: 300, maker: 400, supply: 100 } }
        : {}),
      energy: { price: "0.21 EUR/kWh", hours_per_year: 4000, years: 5 },
    },
    caps: capsOf(wish, machines),
  };
}

/** Width of a supply [mm], and of a drive with two channels for each axis, in a cabinet that is tight. */
const TIGHT_WIDTH = { supply: 56, axis: 42 };

function capsOf(wish: Wish, machines: readonly (readonly DrawnAxis[])[]): Readonly<Record<string, unknown>> {
  const most = Math.max(...machines.map(({ length }) => length));
  const width = wish.buses * TIGHT_WIDTH.supply + most * TIGHT_WIDTH.axis;
  return {
    ...(wish.hasCaps ? { motors: Math.max(3, Math.ceil(wish.axes / 2.5)), makers: 3 } : {}),
    ...(wish.isCabinetTight ? { cabinet_width: `${rounded(width, 4)} mm` } : {}),
  };
}
