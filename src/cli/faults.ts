import type { Fault } from "../faults/fault.ts";
import { faultLine } from "../faults/fault-line.ts";
import { EXIT, type ExitCode } from "./exit.ts";
import type { Terminal } from "./terminal.ts";

/** Every fault of the input, one per line on standard error, then their number. */
export function reportFaults(faults: readonly Fault[], { err }: Pick<Terminal, "err">): ExitCode {
  for (const fault of faults) err.write(`${safe(faultLine(fault))}\n`);
  err.write(faults.length === 1 ? "1 fault\n" : `${faults.length} faults\n`);
  return EXIT.badInput;
}

// What was found comes from the input: it must neither break the line nor command the terminal.
function safe(line: string): string {
  return line.replaceAll(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/gu, "?");
}
