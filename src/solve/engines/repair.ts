import type { LinearModel } from "../../model/linear.ts";

/** How far a value may be from whole, and a row from its limit in its own size, to count as rounding noise. */
const INTEGER_TOLERANCE = 1e-5;

const ROW_NOISE = 1e-6;

/** Integer values made whole; undefined when a value is not near whole or a bound or row breaks. */
export function repaired(model: LinearModel, raw: readonly number[]): readonly number[] | undefined {
  const values: number[] = [];
  for (const [at, { isInteger, lower, upper }] of model.variables.entries()) {
    const value = isInteger ? Math.round(raw[at]!) : raw[at]!;
    if (!(Math.abs(value - raw[at]!) <= INTEGER_TOLERANCE)) return undefined;
    if (value < lower - ROW_NOISE || value > upper + ROW_NOISE) return undefined;
    values.push(Math.min(upper, Math.max(lower, value)));
  }
  return brokenRows(model, values).length === 0 ? values : undefined;
}

/** Names of the rows that the values break, recomputed here. */
export function brokenRows({ rows }: LinearModel, values: readonly number[]): string[] {
  const broken: string[] = [];
  for (const { name, variables, factors, lower, upper } of rows) {
    let sum = 0;
    let size = 1;
    for (const [at, variable] of variables.entries()) {
      sum += factors[at]! * values[variable]!;
      size = Math.max(size, Math.abs(factors[at]! * values[variable]!));
    }
    if (sum < lower - ROW_NOISE * size || sum > upper + ROW_NOISE * size) broken.push(name);
  }
  return broken;
}

/** Cost of the values, recomputed here. */
export function linearCost({ variables }: LinearModel, values: readonly number[]): number {
  return variables.reduce((sum, { cost }, at) => sum + cost * values[at]!, 0);
}
