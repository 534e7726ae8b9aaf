/** A heat at the nodes of a period, in order; a border may stand twice with a jump between. */
export interface HeatSteps {
  readonly time: Float64Array;
  readonly heat: Float64Array;
}

/** One step of the trapezoidal rule for τ·dx/dt = h − x. */
function stepped(state: number, step: number, heats: readonly [number, number], tau: number): number {
  const half = step / (2 * tau);
  return (state * (1 - half) + half * (heats[0] + heats[1])) / (1 + half);
}

/** States at every node from a state at the first. */
function walked({ time, heat }: HeatSteps, start: number, tau: number): Float64Array {
  const states = new Float64Array(time.length);
  states[0] = start;
  for (let k = 1; k < time.length; k++) {
    const step = (time[k] ?? 0) - (time[k - 1] ?? 0);
    states[k] = stepped(states[k - 1] ?? 0, step, [heat[k - 1] ?? 0, heat[k] ?? 0], tau);
  }
  return states;
}

/**
 * States of a first-order body that has seen the same period for ever, by stepping: where the period returns to depends
 * linearly on where it starts, so a walk from rest and one without heat tell where both are the same.
 */
function settledStates(steps: HeatSteps, tau: number): Float64Array {
  const fromRest = walked(steps, 0, tau).at(-1) ?? 0;
  const kept = walked({ ...steps, heat: new Float64Array(steps.time.length) }, 1, tau).at(-1) ?? 0;
  return walked(steps, fromRest / (1 - kept), tau);
}

/** A winding in its housing: time constants [s], and the winding's share of the rise. */
export interface HeatBody {
  readonly winding: number;
  readonly housing: number | undefined;
  readonly share: number;
}

/** w·x_w + (1 − w)·x_h of a winding and its housing at every node; without a housing its mean. */
export function warmth(steps: HeatSteps, { winding, housing, share }: HeatBody, mean: number): Float64Array {
  const first = settledStates(steps, winding);
  const second = housing === undefined ? undefined : settledStates(steps, housing);
  return first.map((state, k) => share * state + (1 - share) * (second?.[k] ?? mean));
}

/** Largest w·x_w + (1 − w)·x_h. */
export function hottest(steps: HeatSteps, body: HeatBody, mean: number): number {
  return warmth(steps, body, mean).reduce((most, state) => Math.max(most, state), 0);
}

/** Largest state of a first-order body. */
export function fullest(steps: HeatSteps, tau: number): number {
  return settledStates(steps, tau).reduce((most, state) => Math.max(most, state), 0);
}
