import { entryOf } from "../faults/entry-of.ts";
import type { PartKind } from "../machine/catalogue.ts";
import type { LimitId } from "../machine/limit.ts";
import type { Expression, Origin, Picks, SharedRow } from "../model/selection.ts";
import type { Span } from "../physics/duty/spans.ts";
import { cabinetFactor } from "../physics/limits/rating.ts";
import { powerPeak, spansOfSign, worstWindow } from "../physics/power/bus-power.ts";
import { expressionAt, usesOf } from "../solve/cost.ts";
import { resistorRating } from "./bus-check.ts";
import type { BusRunEvaluated } from "./evaluate.ts";
import { exactCut } from "./exact-cut.ts";
import {
  axesTerm,
  type BusPlace,
  moduleTerm,
  type PowerTerm,
  pickedMasses,
  powerExpression,
  whenRidersWeigh,
  whenSupply,
  withSupply,
} from "./expressions.ts";
import type { Reading, Sum } from "./power-book.ts";
import type { Round } from "./round.ts";
import type { SupplyOption } from "./supply-options.ts";

/** Widens a row by what a limit that is just met may miss. */
const ROUNDING = 1 + 1e-9;

/** One bus whose supply, resistor or capacitors an answer overloads. */
interface Overload {
  readonly round: Round;
  readonly picks: Picks;
  readonly place: BusPlace;
  /** Which of the machine's runs breaks it: 0 is the normal cycle. */
  readonly run: number;
  readonly bus: BusRunEvaluated;
  /** Absent: the option picked is overloaded itself. Otherwise each option is as good as the best that could take its place. */
  readonly instead?: Instead;
}

/** What could take an option's place, one kind of its parts from another maker. */
interface Instead {
  readonly of: PartKind;
  readonly options: (option: SupplyOption) => readonly SupplyOption[];
}

type BusCut = (overload: Overload) => SharedRow[];

/** Rows of the limits of a bus that fail. */
export function busCuts(overload: Overload, failed: readonly LimitId[]): SharedRow[] {
  const { bus } = overload;
  const rows = failed.flatMap((id) => BUS_CUTS[id]?.(overload) ?? []);
  return bus.judgement.familyClash ? [...rows, ...familyCut(overload)] : rows;
}

const BUS_CUTS: Readonly<Partial<Record<LimitId, BusCut>>> = {
  "supply.peak_power": peakCut,
  "supply.continuous_power": continuousCut,
  "supply.capacitance": capacitanceCut,
  "supply.regeneration": windowCut,
  "resistor.peak_power": resistorPeakCut,
  "resistor.continuous_power": resistorContinuousCut,
  "drive.bus_voltage": chopperCut,
  "resistor.stop_energy": (overload) => exactCut("resistor.stop_energy", overload),
  "supply.overload": (overload) => exactCut("supply.overload", overload),
};

interface PowerCut {
  readonly id: string;
  readonly reading: Reading;
  readonly sum: Sum;
  readonly sign: 1 | -1;
  readonly allowed: (option: SupplyOption) => number;
  readonly counts: (option: SupplyOption) => boolean;
  readonly time?: number;
  /** Scales the power beside the margin, such as seconds for an energy. */
  readonly scale?: number;
}

/**
 * sign · (1 + margin) · ΣP ≤ what the supply allows. Where the least over the masses that can ride does not cut the answer
 * off, the row is made at its true masses and holds only with them.
 */
function powerCut(overload: Overload, own: PowerCut): SharedRow[] {
  const { round, picks, place, run } = overload;
  const cut = replaced(overload, own);
  const { model } = round.built;
  const when = whenSupply(round, place, cut.counts);
  const id = `${cut.id}/${place.machine}/${place.bus}/${run}/${readingText(cut.reading)}`;
  const common = { origin: originOf(overload, cut), max: 0 };
  const loose = cutExpression(overload, cut, undefined);
  if (expressionAt(model, loose, picks, usesOf(model, picks)) > 0) return [{ id, expression: loose, when, ...common }];
  const masses = pickedMasses(round, place.machine, picks);
  const weighed = whenRidersWeigh(round, { machine: place.machine, carriers: [...masses.keys()] }, picks);
  const expression = cutExpression(overload, cut, masses);
  return [{ id: `${id}/${[...masses.values()].join(" ")}`, expression, when: [...when, ...weighed], ...common }];
}

/** The cut as what could take an option's place has it: some of them holds, so the most that any allows is enough. */
function replaced<C extends Pick<PowerCut, "id" | "allowed" | "counts">>({ instead }: Overload, cut: C): C {
  if (instead === undefined) return cut;
  return {
    ...cut,
    id: `${cut.id}/other ${instead.of}`,
    allowed: (option) => Math.max(0, ...instead.options(option).map(cut.allowed)),
    counts: (option) => instead.options(option).length > 0 && instead.options(option).every(cut.counts),
  };
}

function cutExpression({ round, place, run }: Overload, cut: PowerCut, masses: PowerTerm["masses"]): Expression {
  const { reading, sum, sign, scale = 1 } = cut;
  const margin = round.setup.machines[place.machine]?.machine.powerMargin ?? 0;
  const power = powerExpression(round, place, { reading, sum, sign, factor: (1 + margin) * scale, masses, run });
  return withSupply(round, place, power, (option) => Math.min(cut.allowed(option), 1e12) * ROUNDING);
}

function originOf({ round, place, run }: Overload, { id, time }: PowerCut): Origin {
  const { machine, runs } = entryOf(round.setup.machines, place.machine);
  const { mode } = entryOf(runs, run);
  const where = { machine: machine.id, bus: machine.buses[place.bus]?.id ?? "" };
  return {
    kind: "limit",
    id,
    ...where,
    ...(time === undefined ? {} : { time }),
    ...(mode === undefined ? {} : { mode }),
  };
}

function readingText(reading: Reading): string {
  return reading.kind === "instant"
    ? `${reading.instant.time}@${reading.instant.inside}`
    : reading.spans.map(({ from, to }) => `${from}-${to}`).join(",");
}

const isFeedsBack = ({ way }: SupplyOption): boolean => way === "feeds-back";
const isSupplied = ({ supply }: SupplyOption): boolean => supply !== undefined;

function peakAllowed({ supply }: SupplyOption): number {
  return supply?.peakPower ?? Number.POSITIVE_INFINITY;
}

function peakCut(overload: Overload): SharedRow[] {
  const { drawn } = overload.bus.demand;
  const most = powerPeak(drawn, 1);
  const back = powerPeak(drawn, -1);
  const row = (peak: typeof most, sign: 1 | -1, counts: PowerCut["counts"]): SharedRow[] =>
    powerCut(overload, {
      id: "supply.peak_power",
      reading: { kind: "instant", instant: peak },
      sum: "drawn",
      sign,
      allowed: peakAllowed,
      counts,
      time: peak.time,
    });
  const forward = row(most, 1, isSupplied);
  return back.value > most.value ? [...forward, ...row(back, -1, isFeedsBack)] : forward;
}

function continuousCut(overload: Overload): SharedRow[] {
  const { drawn } = overload.bus.demand;
  const factor = cabinetFactor(overload.round.setup.problem.site);
  const allowed = ({ supply }: SupplyOption): number => (supply?.continuousPower ?? Number.POSITIVE_INFINITY) * factor;
  const row = (spans: readonly Span[], counts: PowerCut["counts"]): SharedRow[] =>
    powerCut(overload, {
      id: "supply.continuous_power",
      reading: { kind: "share", spans },
      sum: "drawn",
      sign: 1,
      allowed,
      counts,
    });
  const whole = [{ from: 0, to: drawn.period }];
  return [
    ...row(whole, isSupplied),
    ...row(spansOfSign(drawn, 1), (option) => isSupplied(option) && !isFeedsBack(option)),
  ];
}

function ratingOf({ round }: Overload): (option: SupplyOption) => ReturnType<typeof resistorRating> {
  return (option) => resistorRating(option, round.setup.problem.site);
}

function resistorPeakCut(overload: Overload): SharedRow[] {
  const rating = ratingOf(overload);
  const back = powerPeak(overload.bus.demand.braked, -1);
  return powerCut(overload, {
    id: "resistor.peak_power",
    reading: { kind: "instant", instant: back },
    sum: "braked",
    sign: -1,
    allowed: (option) => rating(option)?.peak ?? Number.POSITIVE_INFINITY,
    counts: (option) => rating(option) !== undefined,
    time: back.time,
  });
}

function resistorContinuousCut(overload: Overload): SharedRow[] {
  const rating = ratingOf(overload);
  return powerCut(overload, {
    id: "resistor.continuous_power",
    reading: { kind: "share", spans: spansOfSign(overload.bus.demand.braked, -1) },
    sum: "braked",
    sign: -1,
    allowed: (option) => rating(option)?.continuous ?? Number.POSITIVE_INFINITY,
    counts: (option) => rating(option) !== undefined,
  });
}

/** Energy given back in the worst window against the capacitors of supply and drives, for supplies of this chopper voltage. */
function windowCut(overload: Overload): SharedRow[] {
  const { round, place, run, bus, picks } = overload;
  const window = worstWindow(bus.demand.braked);
  const high = round.setup.machines[place.machine]?.buses[place.bus]?.voltage.high ?? 0;
  const supply = judgedOption(overload)?.supply;
  const chopper = supply?.chopperVoltage ?? high;
  const perFarad = Number.isFinite(window.energy) ? Math.max(0, 0.5 * (chopper ** 2 - high ** 2)) : 0;
  const rows = powerCut(overload, {
    id: "supply.regeneration",
    reading: { kind: "share", spans: window.spans },
    sum: "braked",
    sign: -1,
    scale: bus.demand.braked.period,
    allowed: (option) => perFarad * (option.supply?.capacitance ?? 0),
    counts: (option) =>
      option.way === "capacitors" && (perFarad === 0 || (option.supply?.chopperVoltage ?? high) === chopper),
  });
  return perFarad === 0 ? rows : rows.map((row) => withCapacitors({ round, picks, place, run, bus }, row, perFarad));
}

function withCapacitors({ round, place }: Overload, row: SharedRow, perFarad: number): SharedRow {
  const room = axesTerm(round, place, (_, { drive }) =>
    drive.channels === 1 ? -perFarad * drive.capacitance * ROUNDING : 0,
  );
  const factors = new Map(row.expression.factors);
  for (const [group, values] of room)
    factors.set(
      group,
      values.map((value, k) => value + (factors.get(group)?.[k] ?? 0)),
    );
  const modules = [
    ...row.expression.modules,
    ...moduleTerm(round, place, ({ capacitance }) => -perFarad * capacitance * ROUNDING),
  ];
  return { ...row, expression: { ...row.expression, factors, modules } };
}

function pickedOption({ round, place, picks }: Overload): SupplyOption | undefined {
  const group = round.built.places.findIndex(
    (p) => p.kind === "bus" && p.machine === place.machine && p.bus === place.bus,
  );
  return round.setup.machines[place.machine]?.buses[place.bus]?.options[picks[group] ?? -1];
}

/** The option whose limits are broken: the one picked, or the first that could take its place. */
function judgedOption(overload: Overload): SupplyOption | undefined {
  const picked = pickedOption(overload);
  return overload.instead === undefined || picked === undefined ? picked : overload.instead.options(picked)[0];
}

function capacitanceCut(overload: Overload): SharedRow[] {
  const { round, place } = overload;
  const { id, allowed, counts } = replaced(overload, {
    id: "supply.capacitance",
    allowed: ({ supply }: SupplyOption) => supply?.maxCapacitance ?? 0,
    counts: ({ supply }: SupplyOption) => supply?.maxCapacitance !== undefined,
  });
  const factors = axesTerm(round, place, (_, { drive }) => (drive.channels === 1 ? drive.capacitance : 0));
  const sum = { factors, modules: moduleTerm(round, place, ({ capacitance }) => capacitance), constant: 0 };
  return [
    {
      id: `${id}/${place.machine}/${place.bus}`,
      origin: {
        kind: "limit",
        id: "supply.capacitance",
        machine: round.setup.machines[place.machine]?.machine.id ?? "",
      },
      expression: withSupply(round, place, sum, (option) => allowed(option) * ROUNDING),
      max: 0,
      when: whenSupply(round, place, counts),
    },
  ];
}

/** With drives that the chopper voltage is too much for, the bus must not give back at the instant it does. */
function chopperCut(overload: Overload): SharedRow[] {
  const { round, picks, place, run, bus } = overload;
  const high = round.setup.machines[place.machine]?.buses[place.bus]?.voltage.high ?? 0;
  const back = powerPeak(bus.demand.braked, -1);
  const weakest = Math.min(...bus.demand.modules.map(({ busMax }) => busMax));
  const rows = powerCut(overload, {
    id: "drive.bus_voltage",
    reading: { kind: "instant", instant: back },
    sum: "braked",
    sign: -1,
    allowed: () => 0,
    counts: ({ supply }) => Math.max(high, supply?.chopperVoltage ?? 0) > weakest * ROUNDING,
    time: back.time,
  });
  return rows.map((row) => ({ ...row, when: [...row.when, ...whenWeak({ round, picks, place, run, bus }, weakest)] }));
}

/** Condition: the weakest axis of the answer keeps a drive that stands no more than the weakest one does. */
function whenWeak({ round, picks, place }: Overload, weakest: number): SharedRow["when"] {
  const weak = axesTerm(round, place, (_, { drive }) => (drive.busMax <= weakest ? 1 : 0));
  const found = [...weak].find(([group, values]) => (values[picks[group] ?? -1] ?? 0) > 0);
  if (found === undefined) return [];
  const [group, values] = found;
  return [{ group, columns: new Set([...values].flatMap((value, k) => (value > 0 ? [k] : []))) }];
}

/** A supply takes no drives of another bus family. */
function familyCut(overload: Overload): SharedRow[] {
  const { round, place } = overload;
  const family = pickedOption(overload)?.supply?.busFamily;
  const factors = axesTerm(round, place, (_, { drive }) =>
    drive.busFamily !== undefined && drive.busFamily !== family ? 1 : 0,
  );
  return [
    {
      id: `bus-family/${place.machine}/${place.bus}/${family}`,
      origin: { kind: "cut", why: `drives of another bus family than ${family}` },
      expression: { factors, modules: [], constant: 0 },
      max: 0,
      when: whenSupply(round, place, ({ supply }) => supply?.busFamily === family),
    },
  ];
}
