import { leadTime, priceCells, withGaps } from "./cells.ts";
import type { Bus } from "./motor-winding.ts";
import { seeded, spread } from "./seeded.ts";
import { type Row, rounded } from "./sheet.ts";

/** A series of supplies that share everything but their power. */
export interface SupplySeries {
  readonly prefix: string;
  readonly bus: Bus;
  readonly phases: 1 | 3;
  /** Continuous powers [W]. */
  readonly powers: readonly number[];
  readonly feedsBack: boolean;
  readonly family?: string;
  readonly priceFactor: number;
}

interface BusSpec {
  readonly letter: string;
  /** Above the rectified peak of the highest mains of the range, below the drives' bus_max [V]. */
  readonly chopper: number;
  readonly peak: number;
  /** Capacitance of a module and of each kilowatt [uF]. */
  readonly capacitance: readonly [number, number];
  readonly price: readonly [number, number];
}

/** Invented, within common practice (no source). */
const BUSES: Readonly<Record<Bus, BusSpec>> = {
  "400 V": { letter: "H", chopper: 780, peak: 2, capacitance: [220, 75], price: [215, 58] },
  "230 V": { letter: "M", chopper: 395, peak: 2.2, capacitance: [600, 420], price: [120, 96] },
  "48 V": { letter: "L", chopper: 56, peak: 1.5, capacitance: [2200, 3300], price: [70, 260] },
};

/** Nominal mains range by number of phases [V]. */
const MAINS: Readonly<Record<1 | 3, readonly [number, number]>> = { 1: [200, 240], 3: [380, 480] };

/** Small supplies carry a resistor of their own. */
function internalResistor(bus: Bus, power: number, minResistance: number): Row {
  if (power > 6000 || bus === "48 V") return {};
  return {
    internal_resistor_peak: rounded(BUSES[bus].chopper ** 2 / (1.5 * minResistance), 2),
    internal_resistor_continuous: rounded(20 + power / 100, 2),
  };
}

function brakingCells(series: SupplySeries, power: number, peak: number): Row {
  const { chopper } = BUSES[series.bus];
  if (series.feedsBack) return { feeds_back: "yes" };
  const minResistance = rounded(chopper ** 2 / (1.45 * peak), 2);
  return {
    feeds_back: "no",
    chopper_voltage: chopper,
    min_resistance: minResistance,
    ...internalResistor(series.bus, power, minResistance),
  };
}

function supplyRow(series: SupplySeries, power: number): Row {
  const bus = BUSES[series.bus];
  const kilowatts = power / 1000;
  const code = rounded(kilowatts, 3);
  const part = `${series.prefix}${bus.letter}${code}${series.phases === 1 ? "s" : "t"}${series.feedsBack ? "R" : ""}`;
  const random = seeded(part);
  const peak = rounded(power * bus.peak * spread(random, 0.04), 2);
  const [low, high] = MAINS[series.phases];
  const price = (bus.price[0] + bus.price[1] * kilowatts ** 0.88) * series.priceFactor * (series.feedsBack ? 2.1 : 1);
  const row: Row = {
    part,
    mains: low,
    mains_max: high,
    phases: series.phases,
    bus_voltage: series.bus === "48 V" ? 48 : undefined,
    continuous_power: power,
    peak_power: peak,
    peak_time: 3,
    capacitance: Math.round((bus.capacitance[0] + bus.capacitance[1] * kilowatts) / 10) * 10,
    max_capacitance: Math.round((bus.capacitance[0] + bus.capacitance[1] * kilowatts) / 100) * 1000,
    ...brakingCells(series, power, peak),
    bus_family: series.family,
    width: Math.round((48 + 8.5 * kilowatts ** 0.8) * (series.feedsBack ? 1.5 : 1)),
    ...priceCells(random, price),
    lead_time: leadTime(random, 8, 35),
  };
  return withGaps(row, ["peak_time", "max_capacitance", "lead_time"], random);
}

/** All supplies of a series. */
export function supplyRows(series: SupplySeries): Row[] {
  return series.powers.map((power) => supplyRow(series, power));
}
