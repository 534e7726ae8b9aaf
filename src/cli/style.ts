import { PLAIN_STYLE, type TextStyle } from "../report/text-style.ts";
import { isColourful, type Terminal } from "./terminal.ts";

/** Emphasis for standard output: colour on a terminal, unless NO_COLOR, CI or `--no-color` forbid it. */
export async function styleFor(wanted: boolean, { out, env }: Terminal): Promise<TextStyle> {
  if (!wanted || !isColourful(out, env)) return PLAIN_STYLE;
  const { Chalk } = await import("chalk");
  // Level 1: the sixteen colours every terminal has, in the shades its owner chose.
  const chalk = new Chalk({ level: 1 });
  return { strong: chalk.bold, dim: chalk.dim, warn: chalk.yellow, good: chalk.green };
}
