import type { Phase, Progress } from "../index.ts";
import { isLive, type Terminal } from "./terminal.ts";

/** Shows where a long job stands. */
export interface ProgressPrinter {
  readonly show: (progress: Progress) => void;
  /** Clears the line; to be called before anything else is printed. */
  readonly end: () => void;
}

const PHASE_WORDS: Readonly<Record<Phase, string>> = {
  read: "reading the input",
  judge: "judging candidates",
  solve: "solving",
  explain: "finding what holds each axis",
};

const CLEAR_LINE = "\r\u001b[2K";

/** Progress on standard error: one line rewritten on a terminal, else a line per phase, nothing when quiet. */
export function progressPrinter(quiet: boolean, { err, env }: Pick<Terminal, "err" | "env">): ProgressPrinter {
  if (quiet) return { show: () => undefined, end: () => undefined };
  let last = "";
  const rewritten = (progress: Progress): void => {
    const line = progressWords(progress).slice(0, err.columns - 1);
    if (line !== last) err.write(CLEAR_LINE + line);
    last = line;
  };
  const plain = ({ phase }: Progress): void => {
    if (phase !== last) err.write(`${PHASE_WORDS[phase]} ...\n`);
    last = phase;
  };
  const live = isLive(err, env);
  return {
    show: live ? rewritten : plain,
    end: () => {
      if (live && last !== "") err.write(CLEAR_LINE);
    },
  };
}

function progressWords({ phase, done, total, note }: Progress): string {
  const of = total === undefined ? "" : ` of ${total}`;
  const count = done === undefined ? "" : ` ${done}${of}`;
  return `${PHASE_WORDS[phase]}${count}${note === undefined ? "" : `, ${note}`}`;
}
