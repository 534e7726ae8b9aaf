import type { FrontierDocument, FrontierKind, FrontierPoint } from "../machine/frontier.ts";
import { figure } from "./figures.ts";
import { columnMoney, kindText } from "./frontier-words.ts";
import { printable } from "./layout.ts";
import type { TextStyle } from "./text-style.ts";

const COLUMN = 11;
const CELL = 12;
/** So many columns stand side by side. */
const ACROSS = 5;

/** Costs by two counts: a row for each number of the first kind, a column for each number of the second. */
export function gridLines(doc: FrontierDocument, style: TextStyle): string[] {
  const { and } = doc;
  if (and === null) return [];
  const rows = rangeOf(doc.points, { kind: doc.by, cap: ({ cap }) => cap });
  const columns = rangeOf(doc.points, { kind: and, cap: ({ and_cap = null }) => and_cap });
  const blocks = Array.from({ length: Math.ceil(columns.length / ACROSS) }, (_, k) =>
    columns.slice(k * ACROSS, (k + 1) * ACROSS),
  );
  const margin = " ".repeat(COLUMN);
  return blocks.flatMap((across) => [
    style.dim(`${margin}order ${printable(doc.currency)} by at most so many ${kindText(and)} across`),
    style.dim(`${margin}${kindText(doc.by).padStart(CELL)}${across.map((c) => figure(c).padStart(CELL)).join("")}`),
    ...rows.map((r) => {
      const cells = across.map((c) => cellText(pointAt(doc, r, c)).padStart(CELL));
      return `${margin}${figure(r).padStart(CELL)}${cells.join("")}`;
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
