import type { Drive } from "../machine/catalogue.ts";

/** Deepest modulation without overmodulation: peak phase voltage over bus voltage. Source: 1/√3, space-vector limit. */
const DEEPEST = 1 / Math.sqrt(3);
const ANGLES = 360;

/** On and off times of the three half bridges in one switching period of length 1, centre-aligned. */
function edgesOf(voltages: readonly number[]): number[][] {
  const middle = (Math.max(...voltages) + Math.min(...voltages)) / 2;
  return voltages.map((voltage) => {
    const duty = Math.min(1, Math.max(0, 0.5 + voltage - middle));
    return [(1 - duty) / 2, (1 + duty) / 2];
  });
}

/** Mean square of the ripple of phase a over one switching period, in (U/(L·f))²: volt-seconds, piece by piece. */
function squareAt(depth: number, angle: number): number {
  const voltages = [0, 1, 2].map((k) => depth * Math.cos(angle - (2 * Math.PI * k) / 3));
  const edges = edgesOf(voltages);
  const borders = [0, 1, ...edges.flat()].toSorted((x, y) => x - y);
  let [state, sum] = [0, 0];
  for (const [k, to] of borders.slice(1).entries()) {
    const from = borders[k] ?? 0;
    const middle = (from + to) / 2;
    const on = edges.map(([rise = 0, fall = 0]) => (middle > rise && middle < fall ? 1 : 0));
    const neutral = on.reduce<number>((all, one) => all + one, 0) / 3;
    const next = state + (to - from) * ((on[0] ?? 0) - neutral - (voltages[0] ?? 0));
    sum += ((to - from) * (state ** 2 + state * next + next ** 2)) / 3;
    state = next;
  }
  return sum;
}

/** RMS ripple of a three-phase bridge at a depth of modulation, in U/(L·f), over a turn of the voltage vector. */
export function rippleAt(depth: number): number {
  const held = Math.min(DEEPEST, depth);
  const squares = Array.from({ length: ANGLES }, (_, k) => squareAt(held, (2 * Math.PI * (k + 0.5)) / ANGLES));
  return Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / ANGLES);
}

/**
 * RMS ripple current at the largest voltage of the cycle [A]: the switching pattern stepped through; six-step: a
 * chopped pair of phases at duty d, U·d·(1 − d)/(2·L·f) peak to peak, a triangle.
 *
 * Source: switching pattern of centre-aligned space-vector modulation, any textbook on AC drives.
 *
 * @param voltage - largest line-line rms voltage [V]
 * @param bus - highest bus voltage [V]
 * @param inductance - of a phase [H]
 */
export function simulatedRipple(drive: Drive, voltage: number, bus: number, inductance: number): number {
  const perCycle = bus / (inductance * drive.switchingFrequency);
  const peak = Math.SQRT2 * voltage;
  if (drive.commutation === "sinusoidal") return rippleAt(peak / Math.sqrt(3) / bus) * perCycle;
  // The duty passes through every value up to the largest; the ripple is largest at one half.
  const duty = Math.min(0.5, peak / bus);
  return (duty * (1 - duty) * perCycle) / 2 / Math.sqrt(12);
}
