/** Terms of the model a design is to serve: main effects; with two-factor interactions; with squares; with both. */
export type DesignModel = "linear" | "interactions" | "squares" | "quadratic";

/** What each kind of design can be asked for; keys as in a study file. */
interface Wishes {
  /** Every combination. Continuous factors take `levels` evenly spaced values, 2 by default, for all or by factor id. */
  readonly "full-factorial": { readonly levels?: number | Readonly<Record<string, number>> };
  /** By generators, or the least aberration of a resolution, of a number of runs, or of a resolution within these runs. */
  readonly "fractional-factorial": {
    readonly resolution?: number;
    readonly runs?: number;
    readonly generators?: readonly string[];
  };
  /** The fewest runs that hold the factors where `runs` is absent. */
  readonly "plackett-burman": { readonly runs?: number; readonly fold_over?: boolean };
  readonly "box-behnken": { readonly centre_points?: number };
  /** `cube`: the corners; by default a fraction of resolution V or better from five factors on. */
  readonly "central-composite": {
    readonly star?: "rotatable" | "face-centred" | "inscribed" | number;
    readonly cube?: "full" | "fraction";
    readonly centre_points?: number;
  };
  readonly "definitive-screening": object;
  readonly "latin-hypercube": { readonly runs: number };
  /** `skip`: points of the sequence left out at its start. */
  readonly sobol: { readonly runs: number; readonly skip?: number };
  readonly halton: { readonly runs: number; readonly skip?: number };
  /** `candidates`: values tried on a continuous factor; `starts`: random designs the exchange begins with. */
  readonly "d-optimal": {
    readonly runs: number;
    readonly model: DesignModel;
    readonly candidates?: number;
    readonly starts?: number;
  };
  /** `base`: points of each of the two sets; a factor more is one set more. */
  readonly sensitivity: { readonly base: number };
  /** `file`: the runs as CSV, read by whoever reads the study. */
  readonly given: { readonly file: string };
}

/** Families of designs. */
export type DesignKind = keyof Wishes;

/** What stands under `design` in a study file. */
export type DesignRequest<K extends DesignKind = DesignKind> = {
  [P in K]: { readonly kind: P } & Wishes[P];
}[K];
