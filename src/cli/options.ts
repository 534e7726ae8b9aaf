import { InvalidArgumentError } from "commander";

/** Reads an option that must be a number above 0, such as `--time-limit 30`. */
export function positiveNumber(text: string): number {
  const value = text.trim() === "" ? Number.NaN : Number(text);
  if (Number.isFinite(value) && value > 0) return value;
  throw new InvalidArgumentError("It must be a number above 0, such as 30.");
}

/** Reads an option that must be a whole number of 1 or more, such as `--jobs 4`. */
export function positiveInteger(text: string): number {
  const value = positiveNumber(text);
  if (Number.isInteger(value)) return value;
  throw new InvalidArgumentError("It must be a whole number of 1 or more, such as 4.");
}

/** Gathers an option that may be repeated, such as `--motor A --motor B`. */
export function collected(text: string, before: readonly string[] = []): readonly string[] {
  return [...before, text];
}
