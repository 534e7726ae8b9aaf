import { type NameAxis, nameAxis, type PlaceAxis, placeAxis, type ScaledAxis, scaledAxis } from "./axes.ts";

/** A factor along an axis of cells. */
export interface CellFactor {
  readonly name: string;
  /** Numbers in ascending order (above 0 if logarithmic), or names. */
  readonly values: readonly (number | string)[];
  readonly logarithmic?: boolean;
}

/** How the cells of a factor lie on its axis. */
export interface CellAxis {
  /** Borders of the cells, one more than there are cells. */
  readonly edges: readonly number[];
  /** Where the k-th value lies. */
  readonly centres: readonly number[];
  /** The axes to draw; marks lie on the last of them. */
  readonly axes: readonly AxisOption[];
}

type AxisOption = ScaledAxis | NameAxis | PlaceAxis;

/** Lays out cells: numbers true to scale, each cell reaching half-way to its neighbours; names evenly spaced. */
export function cellAxis(factor: CellFactor): CellAxis {
  const numbers = factor.values.filter((value) => typeof value === "number");
  const [first, second] = numbers;
  const scaled = numbers.length === factor.values.length && first !== undefined && second !== undefined;
  return scaled ? scaledCells(factor, numbers) : namedCells(factor);
}

function namedCells({ name, values }: CellFactor): CellAxis {
  const centres = values.map((_, index) => index);
  return {
    centres,
    edges: [-0.5, ...centres.map((centre) => centre + 0.5)],
    axes: [nameAxis(values.map(String), name), placeAxis(values.length)],
  };
}

function scaledCells({ name, logarithmic = false }: CellFactor, centres: readonly number[]): CellAxis {
  const edges = logarithmic ? edgesOf(centres.map(Math.log)).map(Math.exp) : edgesOf(centres);
  return { centres, edges, axes: [scaleAxis(name, edges, logarithmic)] };
}

function edgesOf(centres: readonly number[]): number[] {
  const between = centres.slice(1).map((centre, k) => (centre + (centres[k] ?? centre)) / 2);
  const [first = 0, second = first] = centres;
  const last = centres.at(-1) ?? first;
  return [first - (second - first) / 2, ...between, last + (last - (centres.at(-2) ?? last)) / 2];
}

/** An axis from the first to the last edge. */
function scaleAxis(name: string, edges: readonly number[], logarithmic: boolean): ScaledAxis {
  const [min, max] = [edges[0] ?? 0, edges.at(-1) ?? 1];
  return scaledAxis(name, { min, max, logarithmic });
}

/** Where a value lies between the centres of its axis; a value beyond stays where it is. */
export function placeOf(value: number, factor: CellFactor, { axes, centres }: CellAxis): number {
  const index = factor.values.indexOf(value);
  return axes.length === 1 || index < 0 ? value : (centres[index] ?? value);
}
