/** Bounds on what a worker takes from a queue; those of single files are the bounds on input. */
export const BUNDLE_LIMITS = {
  /** Files of one run. */
  files: 1_000,
  /** Characters of a path. */
  pathCharacters: 500,
  /** One file [byte]. */
  fileBytes: 50_000_000,
  /** All files of a run together [byte]. */
  bundleBytes: 500_000_000,
  /** The problem as text [character]. */
  problemCharacters: 5_000_000,
} as const;

/** Most times a run may be lost with its worker; after one more it counts as what workers break on. */
export const MOST_LOSSES = 3;

/** Times of the queue [s]. */
export const QUEUE_TIMES = {
  /** A worker that does not renew its hold on a run for so long counts as lost. */
  lock: 20,
  /** Between looks for lost workers. */
  stalledCheck: 5,
  /** Before a run that broke is tried again. */
  backOff: 2,
  /** Input files stay so long after a study last said that it needs them. */
  fileExpiry: 3_600,
  /** Between sayings of that. */
  fileRenewal: 600,
  /** Results that nobody fetched stay so long. */
  resultAge: 86_400,
  /** Between looks at runs whose end may have gone unheard. */
  look: 5,
  /** Between notes that there is no worker. */
  noWorkerNote: 30,
} as const;
