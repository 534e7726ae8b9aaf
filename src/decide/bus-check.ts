import type { Drive } from "../machine/catalogue.ts";
import type { Limit, LimitId, LimitUnit, Unchecked } from "../machine/limit.ts";
import type { Site } from "../machine/problem.ts";
import { PASS_TOLERANCE, utilisationOf } from "../physics/limits/judgement.ts";
import { type BusVoltage, cabinetFactor } from "../physics/limits/rating.ts";
import { type BusPower, meanOfSign, meanPower, powerPeak, worstWindow } from "../physics/power/bus-power.ts";
import { type BusStop, stopLimit } from "./stop-limit.ts";
import type { SupplyOption } from "./supply-options.ts";
import { supplyOverload } from "./supply-overload.ts";

/** What the bus has to carry: three sums that differ only in how axes outside the cycle count. */
export interface BusDemand {
  /** With the largest power of axes outside the cycle: what the supply must give. */
  readonly drawn: BusPower;
  /** With their most negative power: what must go somewhere when braking. */
  readonly braked: BusPower;
  /** With their mean: what the energy bill counts. */
  readonly billed: BusPower;
  /** Drive modules on the bus, one entry each. */
  readonly modules: readonly Drive[];
  /** The worst emergency stop; absent where the problem asks for none. */
  readonly stop?: BusStop;
}

/** What surrounds the bus. */
export interface BusSite {
  readonly site: Site;
  readonly voltage: BusVoltage;
  /** Power margin, a share. */
  readonly margin: number;
}

/** Limits of one bus with a supply. */
export interface BusJudgement {
  readonly limits: readonly Limit[];
  readonly unchecked: readonly Unchecked[];
  readonly failed: readonly LimitId[];
  /** Drives of another bus family than the supply's. */
  readonly familyClash: boolean;
}

const NOTHING: BusJudgement = { limits: [], unchecked: [], failed: [], familyClash: false };

/**
 * Judges a supply with its resistor on what the bus has to carry.
 *
 * Source: power balance; deratings and margins common practice, no source.
 */
export function checkBus(demand: BusDemand, option: SupplyOption, around: BusSite): BusJudgement {
  const { supply } = option;
  if (supply === undefined) return NOTHING;
  const room = capacitorRoom(option, demand.modules, around.voltage);
  const stop = demand.stop && stopLimit(demand.stop, option, { room, margin: around.margin });
  const found = [supplyOverload(demand.drawn, option, around), stop];
  const limits = [
    ...supplyLimits(demand, option, around),
    ...brakingLimits(demand, option, around),
    ...driveLimits(demand, option, around),
    ...found.flatMap((one) => (one !== undefined && "demand" in one ? [one] : [])),
  ];
  const unknown = found.flatMap((one) => (one !== undefined && "missing" in one ? [one] : []));
  const broken = limits.filter(({ utilisation }) => utilisation === null || utilisation > 1 + PASS_TOLERANCE);
  // The problem asks for the stop: who does not say what its resistor takes fails.
  const silent = unknown.filter(({ id }) => id === "resistor.stop_energy");
  return {
    limits,
    unchecked: [...unknown, ...uncheckedOf(option)],
    failed: [...broken, ...silent].map(({ id }) => id),
    familyClash: demand.modules.some(({ busFamily }) => clashes(busFamily, supply.busFamily)),
  };
}

/** True where both name a bus family and the names differ. */
function clashes(one: string | undefined, other: string | undefined): boolean {
  return one !== undefined && other !== undefined && one !== other;
}

interface Figures {
  readonly demand: number;
  readonly allowed: number;
  readonly unit: LimitUnit;
  readonly time?: number;
}

function limit(id: LimitId, figures: Figures): Limit {
  return {
    id,
    ...figures,
    utilisation: utilisationOf(Math.max(0, figures.demand), figures.allowed),
    demand: Math.max(0, figures.demand),
  };
}

function supplyLimits(
  { drawn, modules }: BusDemand,
  { supply, way }: SupplyOption,
  { site, margin }: BusSite,
): Limit[] {
  if (supply === undefined) return [];
  const most = powerPeak(drawn, 1);
  const back = powerPeak(drawn, -1);
  const peak = way === "feeds-back" && back.value > most.value ? back : most;
  const mean = way === "feeds-back" ? meanPower(drawn) : meanOfSign(drawn, 1);
  const limits = [
    limit("supply.peak_power", {
      demand: peak.value * (1 + margin),
      allowed: supply.peakPower,
      unit: "W",
      time: peak.time,
    }),
    limit("supply.continuous_power", {
      demand: mean * (1 + margin),
      allowed: supply.continuousPower * cabinetFactor(site),
      unit: "W",
    }),
  ];
  if (supply.maxCapacitance === undefined) return limits;
  return [
    ...limits,
    limit("supply.capacitance", { demand: capacitanceOf(modules), allowed: supply.maxCapacitance, unit: "F" }),
  ];
}

function capacitanceOf(modules: readonly Drive[]): number {
  return modules.reduce((sum, { capacitance }) => sum + capacitance, 0);
}

function brakingLimits(demand: BusDemand, option: SupplyOption, around: BusSite): Limit[] {
  if (option.way === "capacitors") return [windowLimit(demand, option, around)];
  const rating = resistorRating(option, around.site);
  if (rating === undefined) return [];
  const back = powerPeak(demand.braked, -1);
  const factor = 1 + around.margin;
  return [
    limit("resistor.peak_power", { demand: back.value * factor, allowed: rating.peak, unit: "W", time: back.time }),
    limit("resistor.continuous_power", {
      demand: -meanOfSign(demand.braked, -1) * factor,
      allowed: rating.continuous,
      unit: "W",
    }),
  ];
}

/** ½·ΣC·(U_chopper² − U_high²): what the capacitors of supply and drives take in [J]. */
export function capacitorRoom({ supply }: SupplyOption, modules: readonly Drive[], { high }: BusVoltage): number {
  const chopper = supply?.chopperVoltage ?? high;
  const capacitance = (supply?.capacitance ?? 0) + capacitanceOf(modules);
  return Math.max(0, 0.5 * capacitance * (chopper ** 2 - high ** 2));
}

function windowLimit({ braked, modules }: BusDemand, option: SupplyOption, { voltage, margin }: BusSite): Limit {
  const { energy } = worstWindow(braked);
  return limit("supply.regeneration", {
    demand: energy * (1 + margin),
    allowed: capacitorRoom(option, modules, voltage),
    unit: "J",
  });
}

/** Peak and continuous power a braking resistor takes: its own, the chopper's U²/R, the cabinet's derating [W]. */
export function resistorRating(
  { supply, resistor, way }: SupplyOption,
  site: Site,
): { peak: number; continuous: number } | undefined {
  const factor = cabinetFactor(site);
  if (way === "internal-resistor") {
    return { peak: supply?.internalResistorPeak ?? 0, continuous: (supply?.internalResistorContinuous ?? 0) * factor };
  }
  if (resistor === undefined) return undefined;
  const chopper = supply?.chopperVoltage ?? 0;
  return {
    peak: Math.min(resistor.peakPower, chopper ** 2 / resistor.resistance),
    continuous: resistor.continuousPower * factor,
  };
}

/** Highest bus voltage: the rectified peak, or the chopper's where the machine gives energy back [V]. */
function driveLimits({ braked, modules }: BusDemand, { supply }: SupplyOption, { voltage }: BusSite): Limit[] {
  if (modules.length === 0) return [];
  const chopper = regenerates(braked) ? (supply?.chopperVoltage ?? 0) : 0;
  const weakest = Math.min(...modules.map(({ busMax }) => busMax));
  return [limit("drive.bus_voltage", { demand: Math.max(voltage.high, chopper), allowed: weakest, unit: "V" })];
}

/** True where the bus gives energy back at some instant. Source: definition. */
function regenerates(braked: BusPower): boolean {
  return powerPeak(braked, -1).value > 0;
}

function uncheckedOf({ supply, way }: SupplyOption): Unchecked[] {
  const unknown: Unchecked[] = [];
  if (supply?.maxCapacitance === undefined) unknown.push({ id: "supply.capacitance", missing: "max_capacitance" });
  if (way === "resistor" && supply?.minResistance === undefined)
    unknown.push({ id: "resistor.peak_power", missing: "min_resistance" });
  return unknown;
}
