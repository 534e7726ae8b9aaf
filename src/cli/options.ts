import { InvalidArgumentError } from "commander";

/** Reads an option that must be a number above 0, such as `--time-limit 30`. */
export function positiveNumber(text: string): number {
  const value = text.trim() === "" ? Number.NaN : Number(text);
  if (Number.isFinite(value) && value > 0) return value;
  throw new InvalidArgumentError("It must be a number above 0, such as 30.");
}
