import { InternalFault } from "../../faults/fault.ts";
import { resampled } from "./bootstrap.ts";
import { preciseSum } from "./precise-sum.ts";
import type { Absent, Remark } from "./remark.ts";

/** An index and where it lies with the confidence asked for. */
export interface Index {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** Shares of a response's variance that a factor accounts for. */
export interface FactorIndices {
  readonly factor: string;
  /** By itself: what fixing it would take away on average. */
  readonly first: Index;
  /** With all its interactions: what would be left if all others were fixed. */
  readonly total: Index;
}

/** Sobol indices of a response. */
export interface SobolIndices {
  readonly indices: readonly FactorIndices[] | Absent;
  /** Blocks of runs that count. */
  readonly blocks: number;
  readonly mean: number | Absent;
  readonly variance: number | Absent;
  readonly remarks: readonly Remark[];
}

/** What Sobol indices are worked out of. */
export interface SobolRequest {
  /** Ids, in the order of the runs of a block. */
  readonly factors: readonly string[];
  /** Blocks of A_k, B_k, then A_k with each factor in turn from B_k; null: the run gave no value. */
  readonly response: readonly (number | null)[];
  readonly seed: number;
  readonly resamples?: number;
  /** Of the intervals, from 0 to 1. */
  readonly confidence?: number;
}

/** Responses of a block, less the mean of all. */
interface Block {
  readonly a: number;
  readonly b: number;
  readonly mixed: readonly number[];
}

/**
 * First-order and total Sobol indices with bootstrap intervals over blocks. Points of a quasi-random sequence are
 * evener than the bootstrap takes them to be, so their intervals are on the wide side. A block with a lost run is left
 * out: the indices then tell only of points that stay feasible whichever factor changes.
 *
 * S_i = ⟨f_B·(f_ABi − f_A)⟩/V, T_i = ½·⟨(f_A − f_ABi)²⟩/V
 * Source: A. Saltelli et al., "Variance based sensitivity analysis of model output", Comput. Phys. Commun. 181 (2010)
 * 259, table 2 (b); M. J. W. Jansen, Comput. Phys. Commun. 117 (1999) 35 for the total.
 */
export function sobolIndices(request: SobolRequest): SobolIndices {
  const { factors, response } = request;
  const size = factors.length + 2;
  const asked = response.length / size;
  if (!Number.isInteger(asked)) throw new InternalFault(`${response.length} runs are no blocks of ${size}`);
  const whole = wholeBlocks(response, size);
  const remarks: Remark[] =
    asked > whole.length ? [{ kind: "lost-blocks", lost: asked - whole.length, of: asked }] : [];
  const first = whole[0]?.[0];
  if (first === undefined) return nothing("no-runs", [...remarks, { kind: "no-runs" }]);
  const values = whole.flatMap((block) => block.slice(0, 2));
  const mean = first + preciseSum(values.map((value) => value - first)) / values.length;
  if (whole.flat().every((value) => value === first)) {
    return {
      ...nothing("constant", [...remarks, { kind: "constant-response", value: first }]),
      blocks: whole.length,
      mean,
    };
  }
  const blocks = whole.map(([a = 0, b = 0, ...mixed]): Block => {
    return { a: a - mean, b: b - mean, mixed: mixed.map((value) => value - mean) };
  });
  const variance = varianceOf(blocks);
  if (variance === 0) return { ...nothing("constant", remarks), blocks: whole.length, mean };
  return { indices: indicesOf(blocks, request), blocks: blocks.length, mean, variance, remarks };
}

function wholeBlocks(response: readonly (number | null)[], size: number): number[][] {
  const count = Math.floor(response.length / size);
  return Array.from({ length: count }, (_, k) =>
    response.slice(k * size, (k + 1) * size).filter((value) => value !== null),
  ).filter((block) => block.length === size);
}

function nothing(absent: Absent["absent"], remarks: readonly Remark[]): SobolIndices {
  return { indices: { absent }, blocks: 0, mean: { absent }, variance: { absent }, remarks };
}

/** Variance of all independent runs, A and B. */
function varianceOf(blocks: readonly Block[]): number {
  const [mean, squares] = [
    blocks.reduce((sum, { a, b }) => sum + a + b, 0) / (2 * blocks.length),
    blocks.reduce((sum, { a, b }) => sum + a * a + b * b, 0) / (2 * blocks.length),
  ];
  return Math.max(squares - mean * mean, 0);
}

/** First-order indices of all factors, then total ones. */
function estimates(blocks: readonly Block[], count: number): number[] {
  const scale = blocks.length * varianceOf(blocks);
  const sums = new Float64Array(2 * count);
  for (const { a, b, mixed } of blocks) {
    for (let i = 0; i < count; i++) {
      const step = mixed[i]! - a;
      sums[i]! += b * step;
      sums[count + i]! += (step * step) / 2;
    }
  }
  return Array.from(sums, (sum) => (scale > 0 ? sum / scale : 0));
}

function indicesOf(blocks: readonly Block[], request: SobolRequest): FactorIndices[] {
  const { factors, seed, resamples = 1000, confidence = 0.95 } = request;
  const values = estimates(blocks, factors.length);
  const intervals = resampled(blocks, (sample) => estimates(sample, factors.length), { seed, resamples, confidence });
  const index = (k: number): Index => ({ value: values[k] ?? 0, ...(intervals[k] ?? { low: 0, high: 0 }) });
  return factors.map((factor, k) => ({ factor, first: index(k), total: index(factors.length + k) }));
}
