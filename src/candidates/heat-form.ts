import type { Duty } from "../physics/duty/duty.ts";
import { NODES_PER_PIECE } from "../physics/duty/nodes.ts";
import type { Response } from "../physics/limits/first-order.ts";
import type { HeatWeights } from "../physics/limits/heat-limits.ts";
import type { TorqueFactors } from "../physics/limits/pick-duty.ts";

/**
 * First-order responses to the products of an axis's basis signals, at the borders of its pieces: the response to τ_m² of any
 * motor behind any gearbox is a quadratic form in them, as the mean is.
 */
export interface HeatForm {
  readonly borders: number;
  /** Border by border: ⟨θ''²⟩, ⟨θ''z⟩, ⟨z²⟩, ⟨θ'²⟩, then by flow ⟨θ''y⟩, ⟨y²⟩, ⟨yz⟩, each filtered. */
  readonly states: Float64Array;
  /** No response exceeds that at the end of its piece by more than this factor where the heat changes: it falls no faster than e^(−t/τ). */
  readonly crest: number;
}

/** The forms of a duty by time constant [s], each made once; undefined where the nodes are too far apart for it. */
export type HeatForms = (time: number) => HeatForm | undefined;

/** Entries of a border. */
const SIZE = 13;
/** Pieces of up to so many time constants: 16 nodes are then exact to rounding. */
const LONGEST = 6;

export function heatFormsOf(duty: Duty): HeatForms {
  const made = new Map<number, HeatForm | undefined>();
  const longest = lengthOf(duty.pieces);
  const changing = lengthOf(duty.pieces.filter(({ isSteady }) => !isSteady));
  return (time) => {
    if (!made.has(time)) made.set(time, longest > LONGEST * time ? undefined : heatForm(duty, time, changing));
    return made.get(time);
  };
}

function lengthOf(pieces: Duty["pieces"]): number {
  return pieces.reduce((most, { from, to }) => Math.max(most, to - from), 0);
}

/** Source: variation of constants, x(b) = x(a)·e^(−(b−a)/τ) + ∫ h·e^(−(b−t)/τ)/τ dt; periodic by x(0) = x(P). */
function heatForm({ pieces, nodes, period }: Duty, time: number, changing: number): HeatForm {
  const borders = pieces.length;
  const gains = new Float64Array(SIZE * borders);
  for (let p = 0; p < borders; p++) {
    const end = pieces[p]!.to;
    for (let k = p * NODES_PER_PIECE; k < (p + 1) * NODES_PER_PIECE; k++) {
      const weight = (nodes.weight[k]! * Math.exp((nodes.time[k]! - end) / time)) / time;
      const a = nodes.acceleration[k]!;
      const y = nodes.torque[k]!;
      const z = nodes.turning[k]!;
      const speed = nodes.speed[k]!;
      const at = SIZE * p;
      const by = at + 4 + 3 * nodes.flow[k]!;
      gains[at]! += weight * a * a;
      gains[at + 1]! += weight * a * z;
      gains[at + 2]! += weight * z * z;
      gains[at + 3]! += weight * speed * speed;
      gains[by]! += weight * a * y;
      gains[by + 1]! += weight * y * y;
      gains[by + 2]! += weight * y * z;
    }
  }
  const keeps = Float64Array.from(pieces, ({ from, to }) => Math.exp((from - to) / time));
  return { borders, states: periodic(gains, keeps, -Math.expm1(-period / time)), crest: Math.exp(changing / time) };
}

/** States at the end of every piece in periodic steady state. @param forgotten - share of a state that a period takes off */
function periodic(gains: Float64Array, keeps: Float64Array, forgotten: number): Float64Array {
  const states = new Float64Array(gains.length);
  for (let entry = 0; entry < SIZE; entry++) {
    let state = 0;
    for (let p = 0; p < keeps.length; p++) state = keeps[p]! * state + gains[SIZE * p + entry]!;
    state /= forgotten;
    for (let p = 0; p < keeps.length; p++) {
      state = keeps[p]! * state + gains[SIZE * p + entry]!;
      states[SIZE * p + entry] = state;
    }
  }
  return states;
}

/** A largest heat from below and from above. */
export interface HeatRange {
  readonly least: number;
  readonly most: number;
}

/**
 * Largest weighted sum of responses to a heat weights.torque·τ_m² + weights.speed·θ'² over the period, between two bounds:
 * the largest at a border, and what none exceeds inside a piece. Under a heat that stays each response goes one way, so
 * there it is at most what it is at the ends. Undefined where a form cannot be made.
 */
export function largestHeat(
  forms: HeatForms,
  responses: readonly Response[],
  { factors, weights }: { factors: TorqueFactors; weights: HeatWeights },
): HeatRange | undefined {
  const known = responses.flatMap(({ time, weight }) => {
    const form = forms(time);
    return form === undefined ? [] : [{ form, weight, before: heatAt(form, form.borders - 1, factors, weights) }];
  });
  if (known.length < responses.length) return undefined;
  let [least, crest, ends] = [0, 1, 0];
  for (const { form } of known) crest = Math.max(crest, form.crest);
  for (let border = 0; border < (known[0]?.form.borders ?? 0); border++) {
    let [sum, either] = [0, 0];
    for (const own of known) {
      const heat = heatAt(own.form, border, factors, weights);
      sum += own.weight * heat;
      either += own.weight * Math.max(own.before, heat);
      own.before = heat;
    }
    if (sum > least) least = sum;
    if (either > ends) ends = either;
  }
  return { least, most: Math.max(least * crest, ends) };
}

/** Hot. */
function heatAt(
  { states }: HeatForm,
  border: number,
  { inertia: a, flow, drag: f }: TorqueFactors,
  weights: HeatWeights,
): number {
  const at = SIZE * border;
  let square = a * a * states[at]! + 2 * a * f * states[at + 1]! + f * f * states[at + 2]!;
  for (let k = 0; k < 3; k++) {
    const by = at + 4 + 3 * k;
    const through = flow[k]!;
    square += through * (2 * a * states[by]! + through * states[by + 1]! + 2 * f * states[by + 2]!);
  }
  return weights.torque * Math.max(0, square) + weights.speed * states[at + 3]!;
}
