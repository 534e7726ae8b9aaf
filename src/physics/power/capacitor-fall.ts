import { GAUSS_16, integrate } from "../../maths/quadrature.ts";
import { rootBetween, rootsInside, type Scalar } from "../../maths/scalar.ts";

/** Energies of bus capacitors that no mains feed, ½·C·U² [J]. */
export interface Capacitors {
  /** When the mains fail. */
  readonly start: number;
  /** What comes back beyond it is lost. */
  readonly most: number;
  /** Below it the drives give up. */
  readonly least: number;
}

/** What a bus draws over a stretch of time; one that never ends draws the same all the time. */
export interface Draw {
  /** Since the mains failed [s]. */
  readonly from: number;
  readonly to: number;
  /** Smooth [W]. */
  readonly power: Scalar;
}

/** How far capacitors are emptied. */
export interface Fall {
  /** Least energy on the way, as if the drives went on below what they need; −Infinity: they are emptied in the end [J]. */
  readonly lowest: number;
  /** When [s]. */
  readonly at: number;
  /** When there is first less than the drives need [s]; absent: always enough. */
  readonly lost?: number;
}

/** ½·C·U² [J]. Source: energy of a capacitor, textbook of electrical engineering. */
export function capacitorEnergy(capacitance: number, voltage: number): number {
  return (capacitance * voltage * voltage) / 2;
}

/** √(2·E/C) [V]; 0 where nothing is left. Source: energy of a capacitor. */
export function capacitorVoltage(capacitance: number, energy: number): number {
  return capacitance > 0 ? Math.sqrt(Math.max(0, (2 * energy) / capacitance)) : 0;
}

/**
 * Capacitors through what is drawn from them and given back, stretch by stretch: dE/dt = −P, never above `most`.
 *
 * Between two changes of sign of P the energy goes one way, so its extremes lie at their ends.
 * Source: power balance.
 */
export function fallOf({ start, most, least }: Capacitors, draws: readonly Draw[]): Fall {
  let fall: Fall = { lowest: start, at: 0 };
  let held = start;
  for (const { from, to, power } of draws.flatMap(oneWay)) {
    if (to === Number.POSITIVE_INFINITY) return emptied(fall, { held, least, from, watts: power(from) });
    const taken = integrate(power, from, to, GAUSS_16);
    if (fall.lost === undefined && held - taken < least) {
      const left: Scalar = (t) => held - least - integrate(power, from, t, GAUSS_16);
      fall = { ...fall, lost: rootBetween(left, from, to) };
    }
    held = Math.min(most, held - taken);
    if (held < fall.lowest) fall = { ...fall, lowest: held, at: to };
  }
  return fall;
}

/** A stretch cut where its power changes sign. */
function oneWay(draw: Draw): Draw[] {
  if (draw.to === Number.POSITIVE_INFINITY) return [draw];
  const borders = [draw.from, ...rootsInside(draw.power, draw.from, draw.to, 8), draw.to];
  return borders.slice(1).map((to, k) => ({ from: borders[k] ?? draw.from, to, power: draw.power }));
}

interface Ending {
  readonly held: number;
  readonly least: number;
  /** [s] */
  readonly from: number;
  /** From then on for ever [W]. */
  readonly watts: number;
}

function emptied(fall: Fall, { held, least, from, watts }: Ending): Fall {
  if (watts <= 0) return fall;
  const lost = fall.lost ?? from + Math.max(0, held - least) / watts;
  return { lowest: Number.NEGATIVE_INFINITY, at: Number.POSITIVE_INFINITY, lost };
}
