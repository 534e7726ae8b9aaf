/** The world outside a command: its two streams, its environment and its clock. */
export interface Terminal {
  readonly out: Stream;
  readonly err: Stream;
  readonly env: Readonly<Record<string, string | undefined>>;
  /** Runs only forward [s]. */
  readonly now: () => number;
}

/** A stream to write to. */
export interface Stream {
  readonly write: (text: string) => void;
  readonly isTerminal: boolean;
  readonly columns: number;
}

/** The terminal this process runs in. */
export function processTerminal(): Terminal {
  return {
    out: streamOf(process.stdout),
    err: streamOf(process.stderr),
    env: process.env,
    now: () => performance.now() / 1000,
  };
}

/** true where lines may be rewritten: a real terminal with a person before it. */
export function isLive({ isTerminal }: Stream, env: Terminal["env"]): boolean {
  return isTerminal && !isSet(env["CI"]) && env["TERM"] !== "dumb";
}

/** true where colour may be used. NO_COLOR: https://no-color.org, any value but an empty one. */
export function isColourful(stream: Stream, env: Terminal["env"]): boolean {
  const forbidden = (env["NO_COLOR"] ?? "") !== "";
  return isLive(stream, env) && !forbidden;
}

function isSet(value: string | undefined): boolean {
  return value !== undefined && value !== "" && value !== "false";
}

function streamOf(stream: NodeJS.WriteStream): Stream {
  return {
    write: (text) => void stream.write(text),
    isTerminal: stream.isTTY,
    columns: stream.columns ?? 80,
  };
}
