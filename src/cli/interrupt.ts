/** Watches for Ctrl-C while a job runs. */
export interface InterruptWatch {
  /** true from the first Ctrl-C on. */
  readonly aborted: () => boolean;
  readonly release: () => void;
}

/** The first Ctrl-C asks the job to stop and tells so; the second one ends the process as if nobody watched. */
export function watchInterrupt(tell: () => void): InterruptWatch {
  let aborted = false;
  const first = (): void => {
    aborted = true;
    process.off("SIGINT", first);
    tell();
  };
  process.on("SIGINT", first);
  return { aborted: () => aborted, release: () => void process.off("SIGINT", first) };
}
