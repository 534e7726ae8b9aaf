import type { Drive, Resistor, Supply } from "../machine/catalogue.ts";
import type { LimitId } from "../machine/limit.ts";
import type { Site } from "../machine/problem.ts";
import type { BusPick } from "./answer.ts";
import type { BusLoad } from "./bus-load.ts";
import { type Check, cabinetFactor, check } from "./evaluate-pick.ts";
import { fullest } from "./heat.ts";

/** What surrounds a bus: the site, its highest voltage without chopper [V], 1 + power margin. */
export interface BusAround {
  readonly site: Site;
  readonly high: number;
  readonly margin: number;
}

/** Limits of a bus, and whether drives and supply are of different bus families. */
export interface BusVerdict {
  readonly checks: readonly Check[];
  readonly clash: boolean;
}

const row = (id: LimitId, demand: number, allowed: number): Check => check(id, Math.max(0, demand), allowed, undefined);
const worst = (checks: readonly Check[]): number =>
  Math.max(...checks.map(({ utilisation }) => utilisation ?? Infinity));

/**
 * Limits of a bus with what it carries; of braking without a resistor the way that has a limit of the wanted name, else
 * the one that leaves more room.
 */
export function busVerdict(
  load: BusLoad,
  { supply, resistor }: BusPick,
  around: BusAround,
  wanted?: LimitId,
): BusVerdict {
  if (supply === null) return { checks: [], clash: false };
  const ways = brakingWays(load, { supply, resistor }, around);
  const way = ways.find((rows) => rows.some(({ id }) => id === wanted)) ?? roomiest(ways);
  const checks = [
    ...supplyRows(load, supply, around),
    ...overloadRow(load, supply, around),
    ...stopRow(load, { supply, resistor }, around),
    ...way,
  ];
  const clash = load.drives.some(
    ({ busFamily }) => busFamily !== undefined && supply.busFamily !== undefined && busFamily !== supply.busFamily,
  );
  return { checks, clash };
}

function supplyRows({ drawn, braked, drives }: BusLoad, supply: Supply, { site, high, margin }: BusAround): Check[] {
  const peak = supply.feedsBack ? Math.max(drawn.most, -drawn.least) : drawn.most;
  const mean = supply.feedsBack ? drawn.mean : drawn.taken;
  const chopper = braked.least < 0 ? (supply.chopperVoltage ?? 0) : 0;
  const checks = [
    row("supply.peak_power", peak * margin, supply.peakPower),
    row("supply.continuous_power", mean * margin, supply.continuousPower * cabinetFactor(site)),
  ];
  if (drives.length > 0)
    checks.push(row("drive.bus_voltage", Math.max(high, chopper), Math.min(...drives.map(({ busMax }) => busMax))));
  if (supply.maxCapacitance === undefined) return checks;
  return [...checks, row("supply.capacitance", capacitanceOf(drives), supply.maxCapacitance)];
}

/**
 * Overload of a supply by the square of its power; it gives its peak power for just its peak time from cold. Nothing where
 * the power never exceeds the continuous one.
 */
function overloadRow(
  { drawn, along, outside, time }: BusLoad,
  { peakTime, peakPower, continuousPower, feedsBack }: Supply,
  { site, margin }: BusAround,
): Check[] {
  const full = (continuousPower * cabinetFactor(site)) / margin;
  const most = feedsBack ? Math.max(drawn.most, -drawn.least) : drawn.most;
  if (peakPower <= continuousPower || most <= full || peakTime === undefined) return [];
  const tau = -peakTime / Math.log(1 - (continuousPower / peakPower) ** 2);
  const heat = along.map((power) => {
    const drawnHere = power + outside.most;
    return (feedsBack ? drawnHere : Math.max(0, drawnHere)) ** 2;
  });
  return [row("supply.overload", fullest({ time, heat }, tau) / full ** 2, 1)];
}

/** Bus capacitors of all modules [F]. */
export function capacitanceOf(drives: readonly Drive[]): number {
  return drives.reduce((sum, drive) => sum + drive.capacitance, 0);
}

/** Of several ways the one that passes and leaves most room. */
function roomiest(ways: readonly (readonly Check[])[]): readonly Check[] {
  const passing = ways.filter((way) => way.every(({ passes }) => passes));
  const candidates = passing.length > 0 ? passing : ways;
  return candidates.toSorted((x, y) => worst(x) - worst(y))[0] ?? [];
}

function brakingWays(
  load: BusLoad,
  { supply, resistor }: { readonly supply: Supply; readonly resistor: Resistor | null },
  around: BusAround,
): (readonly Check[])[] {
  const chopper = supply.chopperVoltage ?? 0;
  if (resistor !== null) {
    const most = Math.min(resistor.peakPower, chopper ** 2 / resistor.resistance);
    return [resistorRows(load, around, { most, mean: resistor.continuousPower })];
  }
  if (supply.feedsBack) return [];
  const ways = [[windowRow(load, supply, around)]];
  const { internalResistorPeak: most, internalResistorContinuous: mean } = supply;
  if (most !== undefined && mean !== undefined) ways.push(resistorRows(load, around, { most, mean }));
  return ways;
}

function resistorRows(
  { braked }: BusLoad,
  { site, margin }: BusAround,
  rating: { readonly most: number; readonly mean: number },
): Check[] {
  return [
    row("resistor.peak_power", -braked.least * margin, rating.most),
    row("resistor.continuous_power", braked.given * margin, rating.mean * cabinetFactor(site)),
  ];
}

function windowRow(load: BusLoad, supply: Supply, { high, margin }: BusAround): Check {
  return row("supply.regeneration", load.braked.window * margin, capacitorRoom(load, supply, high));
}

/** What the bus capacitors take up to the chopper's voltage [J]. */
function capacitorRoom({ drives }: BusLoad, supply: Supply, high: number): number {
  const squares = (supply.chopperVoltage ?? high) ** 2 - high ** 2;
  return Math.max(0, ((supply.capacitance + capacitanceOf(drives)) * squares) / 2);
}

/** What the capacitors do not hold of an emergency stop, against the pulse energy of the resistor. */
function stopRow(
  load: BusLoad,
  { supply, resistor }: { readonly supply: Supply; readonly resistor: Resistor | null },
  { high, margin }: BusAround,
): Check[] {
  if (load.stop === undefined || supply.feedsBack) return [];
  const left = Math.max(0, Math.max(0, load.stop) * margin - capacitorRoom(load, supply, high));
  return [row("resistor.stop_energy", left, resistor?.pulseEnergy ?? 0)];
}
