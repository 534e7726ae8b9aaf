import type { Terminal } from "../../src/cli/terminal.ts";

/** A terminal that keeps what is written to it. */
export interface FakeTerminal extends Terminal {
  readonly printed: () => string;
  readonly told: () => string;
}

/** Two streams of one kind, an environment, and a clock that stands still. */
export function fakeTerminal(isTerminal: boolean, env: Record<string, string> = {}): FakeTerminal {
  const out: string[] = [];
  const err: string[] = [];
  return {
    out: { write: (text) => void out.push(text), isTerminal, columns: 80 },
    err: { write: (text) => void err.push(text), isTerminal, columns: 40 },
    env,
    now: () => 0,
    printed: () => out.join(""),
    told: () => err.join(""),
  };
}
