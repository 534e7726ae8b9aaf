import type { Limit, Unchecked } from "../machine/limit.ts";
import { utilisationOf } from "../physics/limits/judgement.ts";
import { largestStop, type StopPiece } from "../physics/power/stop-energy.ts";
import type { SupplyOption } from "./supply-options.ts";

/** The worst emergency stop of a bus: what its axes give back, fixed losses of the drives taken off [J], and when. */
export interface BusStop {
  readonly energy: number;
  readonly time: number;
}

/** One axis that stops. */
export interface Stopping {
  readonly pieces: readonly StopPiece[];
  /** Its own period; undefined: it shares the machine's cycle [s]. */
  readonly ownPeriod: number | undefined;
}

/**
 * All axes of a bus stop at once, at the worst instant; axes outside the cycle count with their worst.
 *
 * Source: power balance; common practice, no source.
 */
export function busStop(
  axes: readonly Stopping[],
  { period, time, fixedLoss }: { period: number; time: number; fixedLoss: number },
): BusStop {
  const inside = axes.filter(({ ownPeriod }) => ownPeriod === undefined).map(({ pieces }) => pieces);
  const outside = axes.reduce((sum, { pieces, ownPeriod }) => {
    return ownPeriod === undefined ? sum : sum + Math.max(0, largestStop([pieces], ownPeriod).value);
  }, 0);
  const together = largestStop(inside, period);
  return { energy: Math.max(0, together.value + outside - fixedLoss * time), time: together.at };
}

/**
 * What the bus capacitors do not hold of an emergency stop against the pulse energy of the resistor [J]; without one, nothing.
 *
 * A supply that feeds back takes it. A resistor whose pulse energy nobody gives fails, because the problem asks.
 * Source: power balance; margin common practice, no source.
 *
 * @param room - of the capacitors [J]
 */
export function stopLimit(
  { energy, time }: BusStop,
  { way, resistor }: SupplyOption,
  { room, margin }: { room: number; margin: number },
): Limit | Unchecked | undefined {
  if (way === "feeds-back" || way === "unsupplied") return undefined;
  const demand = Math.max(0, energy * (1 + margin) - room);
  const known = resistor?.pulseEnergy ?? (way === "capacitors" || demand === 0 ? 0 : undefined);
  if (known === undefined) return { id: "resistor.stop_energy", missing: "pulse_energy" };
  return {
    id: "resistor.stop_energy",
    demand,
    allowed: known,
    unit: "J",
    utilisation: utilisationOf(demand, known),
    time,
    beside: { name: "given back by the axes", value: energy, unit: "J" },
  };
}
