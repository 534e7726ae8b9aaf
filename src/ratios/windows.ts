import type { LimitId } from "../machine/limit.ts";
import type { Needs } from "../machine/problem.ts";
import type { RatioRange, RatioWindow, WindowEnd } from "../machine/ratios.ts";
import { rootsInside, type Scalar } from "../maths/scalar.ts";
import type { Duty } from "../physics/duty/duty.ts";
import type { TrainLimits } from "./utilisation.ts";

/** A stretch of ratios. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

/** Windows, and the stretches on which each limit passes by itself, as far as it was asked. */
export interface Windows {
  readonly spans: ReadonlyMap<LimitId, readonly Span[]>;
  readonly windows: readonly RatioWindow[];
  /** Where there is no window: the limits that leave none by themselves, else those that have no ratio in common. */
  readonly fails: readonly LimitId[];
}

/** How windows are looked for. */
export interface WindowSearch {
  readonly range: RatioRange;
  readonly ids: readonly LimitId[];
  /** Intervals of log ratio looked at: a limit should turn at most once in each. */
  readonly samples: number;
  /** true: the first limit that leaves nothing ends the search. */
  readonly stops: boolean;
}

/** Two ends closer than this share are one. */
const NEAR = 1e-12;

/**
 * From 1 to the ratio at which the motor reaches its largest speed; where that is no limit, to the largest one there is.
 * null: the motor is too fast without any reduction.
 *
 * @param largest - ratio of the catalogues
 */
export function rangeOfRatios(
  duties: readonly Duty[],
  { needs, maxSpeed, largest }: { needs: Needs; maxSpeed: number; largest: number },
): RatioRange | null {
  const threshold = thresholdOf(needs, "motor.speed");
  const fastest = duties.reduce((most, { peakSpeed }) => Math.max(most, peakSpeed.value), 0);
  const to = (threshold * maxSpeed) / (fastest * (1 + needs.speedMargin));
  if (!Number.isFinite(to)) return { from: 1, to: Math.max(largest, 1), ends_by: "catalogue" };
  return to < 1 ? null : { from: 1, to, ends_by: "motor.speed" };
}

/** Highest utilisation that a limit lets through: 1, widened by `relax`, Infinity where lifted. */
export function thresholdOf(needs: Needs, id: LimitId): number {
  const relax = needs.relax[id];
  return relax === null ? Number.POSITIVE_INFINITY : 1 + (relax ?? 0);
}

/** Ratios at which all limits pass together, their ends refined to rounding. */
export function windowsOf(limits: TrainLimits, { range, ids, samples, stops }: WindowSearch): Windows {
  const spans = new Map<LimitId, readonly Span[]>();
  const empty: LimitId[] = [];
  let left: readonly Span[] = [range];
  let fails: readonly LimitId[] = [];
  for (const id of ids) {
    const own = id === "motor.speed" ? [range] : passSpans(limits, id, { range, samples });
    spans.set(id, own);
    if (own.length === 0) empty.push(id);
    const next = common(left, own);
    if (left.length > 0 && next.length === 0) fails = [...endsAt(left, spans, range), id];
    left = next;
    if (stops && left.length === 0) break;
  }
  const windows = left.map((span) => ({
    from: lowEnd(span.from, spans, range),
    to: highEnd(span.to, spans, range),
  }));
  return { spans, windows, fails: empty.length > 0 ? empty : [...new Set(fails)] };
}

/** Where one limit passes: between the roots of utilisation = threshold, looked for over the logarithm of the ratio. */
function passSpans(
  limits: TrainLimits,
  id: LimitId,
  { range, samples }: Pick<WindowSearch, "range" | "samples">,
): Span[] {
  const threshold = thresholdOf(limits.needs, id);
  if (threshold === Number.POSITIVE_INFINITY) return [range];
  const use = excess((ratio) => limits.use(id, ratio) ?? 0, threshold);
  const { low, high, count } = searched(range, samples);
  const roots = rootsInside(use, low, high, count).map(Math.exp);
  const borders = [range.from, ...roots.filter((ratio) => ratio > range.from && ratio < range.to), range.to];
  const spans = borders.slice(1).map((to, k) => ({ from: borders[k] ?? range.from, to }));
  return joined(spans.filter(({ from, to }) => use((Math.log(from) + Math.log(to)) / 2) <= 0));
}

/** Logarithms of ratio that are looked at: one interval more at either end, so that a turn in the first or last is seen. */
function searched({ from, to }: RatioRange, samples: number): { low: number; high: number; count: number } {
  const step = Math.max(Math.log(to / from), 1e-6) / samples;
  return { low: Math.log(from) - step, high: Math.log(to) + step, count: samples + 2 };
}

/** The ratios of a search that lie inside its range. */
export function searchedRatios(range: RatioRange, samples: number): number[] {
  const { low, high, count } = searched(range, samples);
  const all = Array.from({ length: count + 1 }, (_, k) => Math.exp(low + ((high - low) * k) / count));
  return all.filter((ratio) => ratio > range.from && ratio < range.to);
}

/** Logarithms farther from 0 than this all count alike. */
const FAR = 12;

/** ln(utilisation/threshold) over ln ratio: utilisations are sums of powers of the ratio, so this bends little. */
function excess(use: Scalar, threshold: number): Scalar {
  return (x) => Math.min(FAR, Math.max(-FAR, Math.log(use(Math.exp(x)) / threshold)));
}

/** Stretches that touch are one. */
function joined(spans: readonly Span[]): Span[] {
  const found: Span[] = [];
  for (const span of spans) {
    const last = found.at(-1);
    if (last !== undefined && last.to === span.from) found[found.length - 1] = { from: last.from, to: span.to };
    else found.push(span);
  }
  return found;
}

function common(one: readonly Span[], other: readonly Span[]): Span[] {
  return one.flatMap((a) =>
    other.flatMap((b) => {
      const [from, to] = [Math.max(a.from, b.from), Math.min(a.to, b.to)];
      return from < to ? [{ from, to }] : [];
    }),
  );
}

/** Everything that closes some end of what is left. */
function endsAt(left: readonly Span[], spans: Windows["spans"], range: RatioRange): LimitId[] {
  return left.flatMap(({ from, to }) => [...lowEnd(from, spans, range).limits, ...highEnd(to, spans, range).limits]);
}

function lowEnd(ratio: number, spans: Windows["spans"], range: RatioRange): WindowEnd {
  if (ratio === range.from) return { ratio, limits: [] };
  return { ratio, limits: closing(spans, (span) => isNear(span.from, ratio)) };
}

function highEnd(ratio: number, spans: Windows["spans"], range: RatioRange): WindowEnd {
  if (ratio === range.to) return { ratio, limits: range.ends_by === "motor.speed" ? ["motor.speed"] : [] };
  return { ratio, limits: closing(spans, (span) => isNear(span.to, ratio)) };
}

function closing(spans: Windows["spans"], ends: (span: Span) => boolean): LimitId[] {
  return [...spans].flatMap(([id, own]) => (own.some(ends) ? [id] : []));
}

function isNear(one: number, other: number): boolean {
  return Math.abs(one - other) <= NEAR * other;
}
