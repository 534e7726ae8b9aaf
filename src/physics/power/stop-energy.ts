import { GAUSS_16, integrate } from "../../maths/quadrature.ts";
import { outdoes, type Peak, peakOn, rootsInside, type Scalar } from "../../maths/scalar.ts";
import { flowOf } from "../duty/signal-piece.ts";
import type { LoadStop, StopAt, StopStretch } from "../duty/stops.ts";
import type { PickDuty } from "../limits/pick-duty.ts";
import { powerDraw } from "./pair-power.ts";

/** A stretch of machine time on which the energy of a stop that begins there is smooth. */
export interface StopPiece {
  readonly from: number;
  readonly to: number;
  /** What the axis gives back to the bus on the whole while it stops; negative: it takes more than it gives [J]. */
  readonly energy: Scalar;
}

/**
 * Energy given back by an axis that goes evenly from its speed to rest, by the instant at which the stop begins.
 *
 * E = −∫P dt over the stop, P as always: kinetic energy and what comes down, less friction, efficiencies, copper, speed and
 * drive losses.
 * Source: power balance; common practice, no source.
 *
 * @param time - of the stop [s]
 */
export function stopPieces(pick: PickDuty, stretches: readonly StopStretch[], time: number): StopPiece[] {
  return stretches.map(({ from, to, stopAt }) => ({ from, to, energy: (t) => stopEnergy(pick, stopAt(t), time) }));
}

function stopEnergy(pick: PickDuty, stop: LoadStop, time: number): number {
  const power = stopPower(pick, stop);
  let [mean, from] = [0, 0];
  for (const to of [...stopBorders(pick, stop), 1]) {
    mean += integrate(power, from, to, GAUSS_16);
    from = to;
  }
  return -time * mean;
}

/** Drawn from the bus at the share u of the speed that is left of a stop, fixed losses aside [W]. Source: see `pairPower`. */
export function stopPower(pick: PickDuty, stop: LoadStop): Scalar {
  const draw = powerDraw(pick);
  return (u) => {
    const at = stop.at(u);
    return draw(motorTorque(pick, stop.turning, at), at.speed, pick.drive.lossPerAmp);
  };
}

/** Shares u inside (0, 1) at which the power of a stop changes its form, ascending. Source: definition. */
export function stopBorders(pick: PickDuty, stop: LoadStop): number[] {
  const force: Scalar = (u) => stop.at(u).force;
  const torque: Scalar = (u) => stop.at(u).torque;
  const motor: Scalar = (u) => motorTorque(pick, stop.turning, stop.at(u));
  // At a standstill everything is constant.
  const signals = stop.turning === 0 ? [] : [force, torque, motor];
  const parts = Array.from({ length: stop.panels }, (_, k) => [k / stop.panels, (k + 1) / stop.panels] as const);
  const roots = signals.flatMap((signal) => parts.flatMap(([begin, end]) => rootsInside(signal, begin, end, 8)));
  return [...roots, ...parts.slice(1).map(([begin]) => begin)].toSorted((a, b) => a - b);
}

function motorTorque({ factors }: PickDuty, turning: number, { acceleration, torque }: StopAt): number {
  return factors.inertia * acceleration + factors.flow[flowOf(torque, turning)] * torque + factors.drag * turning;
}

/**
 * Largest energy that all axes of a bus give back together when they stop at once [J], and when; the earliest among equals.
 *
 * Source: extreme value of a function smooth on each stretch.
 *
 * @param axes - by axis, over one period
 */
export function largestStop(axes: readonly (readonly StopPiece[])[], period: number): Peak {
  const times = [0, period, ...axes.flatMap((pieces) => pieces.flatMap(({ from, to }) => [from, to]))];
  const sorted = times.toSorted((a, b) => a - b);
  const borders = sorted.filter((t, k) => k === 0 || t - (sorted[k - 1] ?? 0) > 1e-12 * period);
  let best: Peak = { at: 0, value: Number.NEGATIVE_INFINITY };
  for (const [k, to] of borders.slice(1).entries()) {
    const from = borders[k] ?? 0;
    const middle = (from + to) / 2;
    const here = axes.flatMap((pieces) => pieces.find((piece) => piece.from <= middle && middle <= piece.to) ?? []);
    const found = peakOn((t) => here.reduce((sum, { energy }) => sum + energy(t), 0), from, to, { floor: best.value });
    if (outdoes(found.value, best.value)) best = found;
  }
  return best;
}
