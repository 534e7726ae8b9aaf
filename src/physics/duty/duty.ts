import type { Axis } from "../../machine/problem.ts";
import { outdoes, type Peak, peakOn, type Scalar } from "../../maths/scalar.ts";
import { GRAVITY } from "../constants.ts";
import type { Cycle } from "../motion/cycle.ts";
import { type Hold, holdsOf } from "./holds.ts";
import { type Nodes, nodesOf } from "./nodes.ts";
import type { SignalPiece } from "./signal-piece.ts";
import { signalsOf } from "./signals.ts";
import { addBasis } from "./span-duty.ts";
import { travelsOf } from "./travels.ts";

/**
 * Everything an axis demands, whatever motor and gearbox it gets: exact over its cycle, computed once.
 * Speeds and torques at the mechanism's input shaft.
 */
export interface Duty {
  readonly axis: Axis;
  /** [s] */
  readonly period: number;
  /** κ, the largest and the least of the cycle [m/rad] */
  readonly travel: number;
  readonly leastTravel: number;
  readonly pieces: readonly SignalPiece[];
  readonly nodes: Nodes;
  /** Starts from rest per period. */
  readonly starts: number;
  /** 5×5 Gram matrix of the basis signals (θ'', τ_in motoring, regenerating, at rest, sgn θ'), row by row. */
  readonly gram: Float64Array;
  /** ⟨b·θ'⟩ of the same basis signals: mean shaft power of a linear combination. */
  readonly power: Float64Array;
  /** Largest |θ'| [rad/s] and when. */
  readonly peakSpeed: Peak;
  /** ⟨θ'²⟩ [rad²/s²] and ⟨|θ'|⟩ [rad/s] */
  readonly meanSquareSpeed: number;
  readonly meanSpeed: number;
  /** Largest |τ_in| [N·m] and when. */
  readonly peakTorque: Peak;
  /** Cubic mean of τ_in weighted with |θ'|; the largest |τ_in| where the axis never moves [N·m]. */
  readonly equivalentTorque: number;
  /** Largest |weight + imbalance − counterbalance| at the input shaft [N·m]. */
  readonly hangingTorque: number;
  /** What is held at rest, and for how long. */
  readonly holds: readonly Hold[];
  /** J_in plus the largest and the smallest load at the input shaft [kg·m²]. */
  readonly largestInertia: number;
  readonly smallestInertia: number;
  /** Half the width of the range of carried mass [kg]. */
  readonly massHalf: number;
  /** How far the signals can move within the range of carried mass; all zero where the mass is known. */
  readonly slack: DutySlack;
}

/** Bounds on the change of τ_in within a duty's range of carried mass [N·m]. */
export interface DutySlack {
  readonly rms: number;
  readonly peak: number;
  readonly equivalent: number;
  readonly hanging: number;
  readonly inertia: number;
  /** Half the range × ⟨most change of τ_in per kilogram · |θ'|⟩ [W]. */
  readonly power: number;
}

/** A range of carried mass [kg]. */
export interface MassRange {
  readonly low: number;
  readonly high: number;
}

/**
 * The duty of an axis at the middle of a range of carried mass; `slack` bounds what the rest of the range can change.
 *
 * τ_in moves by at most κ·φ_max·(|a| + g·(|sin| + μ·cos)) per kilogram at each instant (φ is Lipschitz), so RMS,
 * equivalent and peak torque move by at most the same norm of that bound (Minkowski).
 * Source: Minkowski's inequality; common practice for the rest.
 */
export function dutyOf(axis: Axis, cycle: Cycle, carried: MassRange): Duty {
  const middle = (carried.low + carried.high) / 2;
  const pieces = signalsOf(axis, cycle, middle);
  const nodes = nodesOf(pieces);
  const travels = travelsOf(axis.mechanism, cycle);
  const inertias = pieces.map(({ loadInertia }) => loadInertia);
  const meanSpeed = mean(nodes, cycle.period, (k) => Math.abs(nodes.speed[k] ?? 0));
  const peakTorque = supremum(pieces, (piece) => (t) => Math.abs(piece.torque(t)));
  return {
    axis,
    period: cycle.period,
    travel: travels.most,
    leastTravel: travels.least,
    pieces,
    nodes,
    starts: cycle.starts,
    ...gramOf(nodes, cycle.period),
    peakSpeed: supremum(pieces, (piece) => (t) => Math.abs(piece.speed(t))),
    meanSquareSpeed: mean(nodes, cycle.period, (k) => (nodes.speed[k] ?? 0) ** 2),
    meanSpeed,
    peakTorque,
    equivalentTorque: meanSpeed === 0 ? peakTorque.value : equivalentTorque(nodes),
    hangingTorque: supremum(pieces, (piece) => (t) => Math.abs(piece.hanging(t))).value,
    holds: holdsOf(pieces, cycle.period),
    largestInertia: axis.mechanism.inertia + Math.max(...inertias.map(({ most }) => most)),
    smallestInertia: axis.mechanism.inertia + Math.min(...inertias.map(({ least }) => least)),
    massHalf: (carried.high - carried.low) / 2,
    slack: slackOf({
      pieces,
      nodes,
      period: cycle.period,
      half: (carried.high - carried.low) / 2,
      travel: travels.most,
      axis,
    }),
  };
}

/**
 * Largest value of a signal over the period, one-sided limits included; the earliest instant among equals.
 *
 * Source: extreme value of a function smooth on each piece.
 */
export function supremum(pieces: readonly SignalPiece[], signal: (piece: SignalPiece) => Scalar): Peak {
  let best: Peak = { at: 0, value: Number.NEGATIVE_INFINITY };
  for (const piece of pieces) {
    const found = peakOn(signal(piece), piece.from, piece.to, {
      samples: piece.isSteady ? 1 : 16,
      floor: best.value,
    });
    if (outdoes(found.value, best.value)) best = found;
    else if (found.value > best.value) best = { at: best.at, value: found.value };
  }
  return best;
}

function mean(nodes: Nodes, period: number, value: (k: number) => number): number {
  let sum = 0;
  for (let k = 0; k < nodes.count; k++) sum += (nodes.weight[k] ?? 0) * value(k);
  return sum / period;
}

/** ( Σ|θ'|·|τ|³ / Σ|θ'| )^(1/3). Source: ISO 281 ball-bearing exponent with linear damage; Mott, Machine Elements, eq. 14-11. */
function equivalentTorque(nodes: Nodes): number {
  let [turned, damage] = [0, 0];
  for (let k = 0; k < nodes.count; k++) {
    const weight = (nodes.weight[k] ?? 0) * Math.abs(nodes.speed[k] ?? 0);
    turned += weight;
    damage += weight * Math.abs(nodes.torque[k] ?? 0) ** 3;
  }
  return Math.cbrt(damage / turned);
}

/** ⟨b·bᵀ⟩ and ⟨b·θ'⟩ over the period. */
function gramOf(nodes: Nodes, period: number): { gram: Float64Array; power: Float64Array } {
  const sums = { gram: new Float64Array(25), power: new Float64Array(5) };
  for (let k = 0; k < nodes.count; k++) addBasis(sums, nodes, k, nodes.weight[k]! / period);
  return sums;
}

interface SlackInput {
  readonly pieces: readonly SignalPiece[];
  readonly nodes: Nodes;
  readonly period: number;
  readonly half: number;
  readonly travel: number;
  readonly axis: Axis;
}

function slackOf({ pieces, nodes, period, half, travel, axis }: SlackInput): DutySlack {
  if (half === 0) return { rms: 0, peak: 0, equivalent: 0, hanging: 0, inertia: 0, power: 0 };
  const { perKilogram, weight, speed } = nodes;
  let [square, turned, cube, work] = [0, 0, 0, 0];
  for (let k = 0; k < nodes.count; k++) {
    const [step, span] = [perKilogram[k]!, weight[k]!];
    const turn = span * Math.abs(speed[k]!);
    square += span * step * step;
    turned += turn;
    work += turn * step;
    cube += turn * step ** 3;
  }
  const most = supremum(pieces, (piece) => piece.perKilogram).value;
  return {
    rms: half * Math.sqrt(square / period),
    peak: half * most,
    equivalent: half * (turned === 0 ? most : Math.cbrt(cube / turned)),
    hanging: half * GRAVITY * Math.abs(Math.sin(axis.load.incline)) * travel,
    inertia: half * travel ** 2,
    power: (half * work) / period,
  };
}
