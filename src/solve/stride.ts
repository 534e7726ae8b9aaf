import type { Relaxation, Weights } from "./bound.ts";
import type { Core } from "./core.ts";
import type { Domain } from "./domain.ts";
import { limitEnvelopes, turnAlongEnvelopes } from "./envelopes.ts";
import { subgradient } from "./subgradient.ts";

/** How an ascent steps, by multiplier. */
export interface Stride {
  /** Running mean of the subgradients. */
  readonly direction: Float64Array;
  /** Running mean of the squared subgradients. */
  readonly unrest: Float64Array;
  /** How far it moves beside the others. */
  readonly reach: Float64Array;
  /** Room for a subgradient. */
  readonly gradient: Float64Array;
  /** The multipliers that move, for the links they were chosen for: those of links without a column left stay. */
  moving: Int32Array;
  links: Int32Array | undefined;
  /** Steps taken. */
  steps: number;
}

/** How much of the last direction goes into the next. */
const MOMENTUM = 0.8;

/** How much of the unrest seen so far stays, and the least that counts. */
const MEMORY = 0.95;
const LEAST_UNREST = 0.02;

/** A stride for the multipliers the core has now. */
export function newStride({ linkCount, caps, rows }: Core): Stride {
  const length = linkCount + caps.length + rows.length;
  return {
    direction: new Float64Array(length),
    unrest: new Float64Array(length),
    reach: new Float64Array(length),
    gradient: new Float64Array(length),
    moving: new Int32Array(),
    links: undefined,
    steps: 0,
  };
}

/** The same with room for rows added since. */
export function extended(core: Core, before: Stride): Stride {
  const stride = newStride(core);
  stride.direction.set(before.direction);
  stride.unrest.set(before.unrest);
  stride.steps = before.steps;
  return stride;
}

/** Finds out which multipliers move, unless the links are those of the last step. */
function noteMoving(stride: Stride, { linkCount, caps, rows }: Core, { links }: Domain): void {
  if (stride.links === links) return;
  stride.links = links;
  stride.moving = new Int32Array(links.length + caps.length + rows.length);
  stride.moving.set(links);
  for (let at = 0; at < caps.length + rows.length; at += 1) stride.moving[links.length + at] = linkCount + at;
}

/** Where a step begins. */
export interface Footing {
  readonly core: Core;
  readonly domain: Domain;
  /** At the weights. */
  readonly relaxation: Relaxation;
  /** Written to. */
  readonly weights: Weights;
}

/**
 * weights + length · reach · direction, projected to where multipliers are valid; false at a point that cannot be left.
 *
 * Multipliers whose subgradients swing much move less. Measured: the bound rises in a third of the steps that it takes
 * with reaches that stay, and further.
 *
 * @remarks Running means of squares as in the adaptive gradient methods of machine learning (Tieleman & Hinton, lecture
 * 6.5 of Neural Networks for Machine Learning, 2012; from memory), to the power -3/4 in place of -1/2: measured.
 * @param way - how far the bound would rise by the step if the direction were its slope [model's money]
 */
export function takeStride(stride: Stride, { core, domain, relaxation, weights }: Footing, way: number): boolean {
  noteMoving(stride, core, domain);
  const { direction, reach, moving } = stride;
  subgradient(core, domain, relaxation, stride.gradient);
  learn(stride, core);
  for (let k = 0; k < moving.length; k += 1) {
    const at = moving[k]!;
    if (weights[at] === 0 && direction[at]! < 0 && !isFree(core, at)) direction[at] = 0;
  }
  turnAlongEnvelopes(core, weights, stride);
  let square = 0;
  for (let k = 0; k < moving.length; k += 1) square += reach[moving[k]!]! * direction[moving[k]!]! ** 2;
  if (square < 1e-14) return false;
  for (let k = 0; k < moving.length; k += 1) {
    const at = moving[k]!;
    const next = weights[at]! + (way / square) * reach[at]! * direction[at]!;
    weights[at] = next < 0 && !isFree(core, at) ? 0 : next;
  }
  limitEnvelopes(core, weights);
  return true;
}

/** Hot: takes the subgradient into direction and reach. */
function learn(stride: Stride, { dearness, linkCount }: Core): void {
  const { direction, unrest, reach, gradient, moving } = stride;
  stride.steps += 1;
  // The first ones count alike.
  const kept = Math.min(MEMORY, 1 - 1 / stride.steps);
  for (let k = 0; k < moving.length; k += 1) {
    const at = moving[k]!;
    const slope = gradient[at]!;
    direction[at] = (1 - MOMENTUM) * slope + MOMENTUM * direction[at]!;
    unrest[at] = kept * unrest[at]! + (1 - kept) * slope * slope;
    const root = Math.sqrt(Math.max(LEAST_UNREST, unrest[at]));
    reach[at] = (at < linkCount ? dearness[at]! : 1) / (root * Math.sqrt(root));
  }
}

/** Whether a multiplier may have any sign. */
function isFree(core: Core, at: number): boolean {
  return at < core.linkCount && core.counted[core.linkPart[at]!] !== undefined;
}
