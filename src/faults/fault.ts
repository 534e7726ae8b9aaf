/** Where in the input a fault lies: a place in a JSON document, or a cell of a CSV file (row 1 is the header). */
export type Place = JsonPlace | CsvPlace;

/** A place in a JSON document, by JSON Pointer. */
export interface JsonPlace {
  readonly file: string;
  readonly pointer: string;
}

/** A cell of a CSV file. */
export interface CsvPlace {
  readonly file: string;
  readonly row: number;
  readonly column: string;
}

/** One mistake in the user's input. Faults are values: they are collected to the end, never thrown. */
export interface Fault {
  /** Stable short name of the kind of mistake, such as `unknown-key`. */
  readonly code: string;
  readonly place: Place;
  /** What stands there. */
  readonly found: string;
  /** What should stand there, with an example where that helps. */
  readonly expected: string;
  /** The nearest valid name, where a name was misspelt. */
  readonly nearest?: string;
}

/** The outcome of reading something: a value, or every fault found. */
export type Result<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly faults: readonly Fault[] };

/** Our own promise is broken: a defect of fewframe, never of the input. Exit code 1. */
export class InternalFault extends Error {
  override readonly name = "InternalFault";
}
