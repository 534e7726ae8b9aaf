/** Bounds on input, so that a broken or hostile file is refused instead of filling memory. */
export const SIZE_LIMITS = {
  /** Problem file and catalog.json [byte]. */
  problemBytes: 5_000_000,
  /** Certificate of a result [byte]. */
  certificateBytes: 100_000_000,
  /** One CSV file of a catalogue [byte]. */
  catalogueBytes: 50_000_000,
  /** Rows of one table against time, below its header. */
  tableRows: 5_000,
  /** Objects and lists inside each other in a JSON file. */
  nesting: 64,
  /** Characters of one CSV cell. */
  cellCharacters: 10_000,
} as const;
