import type { FrontierDocument, FrontierKind, FrontierPoint } from "../machine/frontier.ts";
import { figure } from "./figures.ts";
import { columnMoney, kindText } from "./frontier-words.ts";
import { printable } from "./layout.ts";
import type { TextStyle } from "./text-style.ts";

const COLUMN = 11;
const CELL = 12;
/** So many columns stand side by side. */
const ACROSS = 5;

/** What is known of every pair of two caps. */
interface FrontierGrid {
  /** Numbers of the first kind, most first. */
  readonly rows: readonly number[];
  /** Numbers of the second kind, most first. */
  readonly columns: readonly number[];
  /** A row for each of `rows`; undefined: not looked at. */
  readonly cells: readonly (readonly (FrontierPoint | undefined)[])[];
}

/** The table of a frontier of two counts; empty for one of a single count. */
export function frontierGrid(doc: FrontierDocument): FrontierGrid {
  const { and } = doc;
  if (and === null) return { rows: [], columns: [], cells: [] };
  const rows = rangeOf(doc.points, { kind: doc.by, cap: ({ cap }) => cap });
  const columns = rangeOf(doc.points, { kind: and, cap: ({ and_cap = null }) => and_cap });
  return { rows, columns, cells: rows.map((r) => columns.map((c) => pointAt(doc, r, c))) };
}

/** Costs by two counts: a row for each number of the first kind, a column for each number of the second. */
export function gridLines(doc: FrontierDocument, style: TextStyle): string[] {
  const { and } = doc;
  if (and === null) return [];
  const { rows, columns, cells } = frontierGrid(doc);
  const places = columns.map((_, c) => c);
  const blocks = Array.from({ length: Math.ceil(columns.length / ACROSS) }, (_, k) =>
    places.slice(k * ACROSS, (k + 1) * ACROSS),
  );
  const margin = " ".repeat(COLUMN);
  return blocks.flatMap((across) => [
    style.dim(`${margin}order ${printable(doc.currency)} with at most so many ${kindText(and)} (across)`),
    style.dim(
      `${margin}${kindText(doc.by).padStart(CELL)}${across.map((c) => figure(columns[c] ?? 0).padStart(CELL)).join("")}`,
    ),
    ...rows.map((count, r) => {
      const texts = across.map((c) => cellText(cells[r]?.[c]).padStart(CELL));
      return `${margin}${figure(count).padStart(CELL)}${texts.join("")}`;
    }),
  ]);
}

interface Counting {
  readonly kind: FrontierKind;
  readonly cap: (point: FrontierPoint) => number | null;
}

/** From the most that an order holds down to the fewest that was looked at. */
function rangeOf(points: readonly FrontierPoint[], { kind, cap }: Counting): number[] {
  const held = points.flatMap(({ distinct }) => (distinct === null ? [] : [distinct[kind]]));
  const asked = points.flatMap((point) => cap(point) ?? []);
  if (held.length === 0) return asked.toSorted((a, b) => b - a);
  const [most, least] = [Math.max(...held), Math.min(...held, ...asked)];
  return Array.from({ length: most - least + 1 }, (_, k) => most - k);
}

/**
 * The point that answers a pair of caps: the cheapest order within both that was found under looser caps; without one,
 * what is known under these.
 */
function pointAt({ by, and, points }: FrontierDocument, r: number, c: number): FrontierPoint | undefined {
  if (and === null) return undefined;
  const orders = points.filter(({ distinct }) => distinct !== null && distinct[by] <= r && distinct[and] <= c);
  const [cheapest] = orders.toSorted((one, other) => (one.objective?.total ?? 0) - (other.objective?.total ?? 0));
  if (cheapest !== undefined) return cheapest;
  const looser = points.filter(({ cap, and_cap = null }) => (cap ?? r) >= r && (and_cap ?? c) >= c);
  return looser.find(({ status }) => status === "infeasible") ?? looser.find(({ status }) => status === "unknown");
}

/** An order that is not proven lowest carries a mark. */
function cellText(point: FrontierPoint | undefined): string {
  if (point?.status === "infeasible") return "none";
  if (point?.objective == null) return "?";
  return `${columnMoney(point.objective.total)}${point.status === "optimal" ? "" : "~"}`;
}
