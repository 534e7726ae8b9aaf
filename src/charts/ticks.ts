/** Round values within a range: multiples of 1, 2 or 5 times a power of ten, about as many as wanted. */
export function roundTicks(low: number, high: number, wanted = 8): number[] {
  if (isSingle(low, high)) return [low];
  const step = roundStep((high - low) / wanted);
  const first = Math.ceil(low / step - 1e-9);
  const last = Math.floor(high / step + 1e-9);
  return Array.from({ length: last - first + 1 }, (_, k) => exact((first + k) * step));
}

/** Round values of a logarithmic range, both ends above 0: 1, 2 and 5 times powers of ten, or as near as need be. */
export function logarithmicTicks(low: number, high: number): number[] {
  const decades = Math.log10(high / low);
  if (decades < 0.7) return roundTicks(low, high);
  const mantissas = decades > 4 ? [1] : [1, 2, 5];
  const from = Math.floor(Math.log10(low));
  const to = Math.ceil(Math.log10(high));
  return Array.from({ length: to - from + 1 }, (_, k) => from + k)
    .flatMap((power) => mantissas.map((mantissa) => exact(mantissa * 10 ** power)))
    .filter((tick) => tick >= low * (1 - 1e-9) && tick <= high * (1 + 1e-9));
}

interface RoundEnds {
  readonly min: number;
  readonly max: number;
  /** From tick to tick. */
  readonly interval: number;
}

/** Ends at round values that hold a range, for an axis without a tick beyond it; a single value gets some room. */
export function roundEnds(low: number, high: number): RoundEnds {
  if (isSingle(low, high)) {
    const size = Math.abs(low) > TINY ? 0.1 * Math.abs(low) : 1;
    return roundEnds(low - size, low + size);
  }
  const step = roundStep((high - low) / 8);
  const [first, last] = [Math.floor(low / step + 1e-9), Math.ceil(high / step - 1e-9)];
  return { min: exact(first * step), max: exact(last * step), interval: step };
}

/** A range with room on both sides, as shares of its width; a single value gets some, too. */
export function widened(
  { low, high }: { readonly low: number; readonly high: number },
  [below, above]: readonly [below: number, above: number],
): { readonly min: number; readonly max: number } {
  const width = high > low ? high - low : Math.abs(high) * 0.5 || 1;
  return { min: low - below * width, max: high + above * width };
}

/** Below it steps would vanish by rounding. */
const TINY = 1e-250;

/** Whether a range is one value but for rounding. */
function isSingle(low: number, high: number): boolean {
  return !(high - low > Math.max(TINY, 1e-9 * Math.max(Math.abs(low), Math.abs(high))));
}

/** The least of 1, 2, 5 times a power of ten that is not below. */
function roundStep(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least));
  const mantissa = [1, 2, 5].find((each) => each * power >= least * (1 - 1e-9)) ?? 10;
  return mantissa * power;
}

/** Without the last digits' dust of rounding. */
function exact(value: number): number {
  return Number(value.toPrecision(12));
}

/** Least and largest of the finite values; undefined without any. */
export function rangeOf(values: readonly number[]): { readonly low: number; readonly high: number } | undefined {
  const finite = values.filter(Number.isFinite);
  if (finite.length === 0) return undefined;
  const low = finite.reduce((least, value) => Math.min(least, value));
  return { low, high: finite.reduce((most, value) => Math.max(most, value)) };
}
