import type { NamedChart } from "../charts/draw-charts.ts";
import { frontierStepsOption, type FrontierPoint as Step } from "../charts/frontier-steps.ts";
import { partTableOption } from "../charts/part-table.ts";
import type { FrontierChanges, FrontierDocument, FrontierKind, FrontierPoint } from "../machine/frontier.ts";
import type { PartLine } from "../machine/result.ts";
import { counted } from "../report/figures.ts";
import { frontierGrid } from "../report/frontier-grid.ts";
import { beforeVariety, heldBy, kindText } from "../report/frontier-words.ts";
import { listed, printable } from "../report/layout.ts";

/** The chart of a frontier: steps of one count, or the table of two. */
export function frontierCharts(doc: FrontierDocument): readonly NamedChart[] {
  return [doc.and === null ? stepsChart(doc) : tableChart(doc, doc.and)];
}

function stepsChart(doc: FrontierDocument): NamedChart {
  const points = doc.points.flatMap((point) => stepOf(point, doc) ?? []).toSorted((a, b) => a.count - b.count);
  const hasVariety = points.some(({ cost, part }) => part !== undefined && part !== cost);
  const option = frontierStepsOption({
    title: `What fewer different ${kindText(doc.by)} cost`,
    note: noteOf(doc),
    cost: `cost [${doc.currency}]`,
    counted: `different ${kindText(doc.by)}, at most`,
    points,
    ...(hasVariety ? { lines: { cost: "cost of the order", part: "the same without its charges for variety" } } : {}),
  });
  return { name: "steps", option };
}

/** undefined: the one point without a count, where the problem has no order at all. */
function stepOf(point: FrontierPoint, { by }: FrontierDocument): Step | undefined {
  const { objective, bound, changes, status } = point;
  const count = heldBy(point, by);
  // What was not found may exist: only what cannot be is crossed out.
  if (count === null || status === "unknown") return undefined;
  const part = beforeVariety(point);
  return {
    count,
    cost: objective?.total ?? null,
    ...(bound === null || status === "optimal" ? {} : { bound }),
    ...(part === undefined ? {} : { part }),
    ...(changes === null ? {} : { change: changeText(changes, by) }),
  };
}

/** Part numbers of these are named where they are counted; where others are, every one is. */
const KIND_OF: Partial<Record<FrontierKind, PartLine["kind"]>> = {
  motors: "motor",
  gearboxes: "gearbox",
  drives: "drive",
};

/** What the step to fewer swaps, by part numbers of what is counted: there is room for a few words. */
function changeText({ goes, comes }: FrontierChanges, by: FrontierKind): string {
  const counts = ({ kind }: PartLine): boolean => (KIND_OF[by] ?? kind) === kind;
  const [out, into] = [goes.filter(counts), comes.filter(counts)];
  const others = Math.max(goes.length - out.length, comes.length - into.length);
  const also = others === 0 ? "" : `; ${counted(others, "other part changes", "other parts change")}`;
  if (into.length === 0) return out.length === 0 ? "the same parts elsewhere" : `without ${names(out)}${also}`;
  return `${out.length === 0 ? "with " : ""}${names(into)}${out.length === 0 ? "" : ` for ${names(out)}`}${also}`;
}

function names(parts: readonly PartLine[]): string {
  return listed(parts.map(({ id }) => printable(id)));
}

function noteOf({ title, complete, variety, and }: FrontierDocument): string {
  const open = and === null ? "red lines reach down to what is proven" : "~ may cost less, ? was not settled";
  const proof = complete ? "each proven lowest" : `not all of it proven: ${open}`;
  return [title, proof, ...(variety ? [] : ["nothing charged for variety"])].join("; ");
}

/** null: no such order can be; undefined: none was found, and one may be. */
function costAt(point: FrontierPoint | undefined): number | null | undefined {
  return point?.status === "infeasible" ? null : point?.objective?.total;
}

function tableChart(doc: FrontierDocument, and: NonNullable<FrontierDocument["and"]>): NamedChart {
  const { rows, columns, cells } = frontierGrid(doc);
  // The print begins with most; a scale rises from the corner.
  const rising = cells.toReversed().map((row) => row.toReversed());
  const option = partTableOption({
    title: `What fewer different ${kindText(doc.by)} and ${kindText(and)} cost`,
    note: noteOf(doc),
    value: `cost [${doc.currency}]`,
    columns: { name: `different ${kindText(and)}, at most`, levels: columns.toReversed().map(String) },
    rows: { name: `different ${kindText(doc.by)}, at most`, levels: rows.toReversed().map(String) },
    cells: rising.map((row) => row.map(costAt)),
    marks: rising.map((row) => row.map((point) => (point?.status === "feasible" ? "~" : ""))),
  });
  return { name: "table", option };
}
