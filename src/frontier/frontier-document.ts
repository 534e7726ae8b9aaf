import type { Setup } from "../decide/setup.ts";
import type { ProblemInput } from "../input/read-problem.ts";
import type {
  FrontierChanges,
  FrontierDocument,
  FrontierKind,
  FrontierPoint,
  VarietyCharges,
} from "../machine/frontier.ts";
import type { Weights } from "../machine/problem.ts";
import { boundOf, objectiveOf, partLines, sourcesIn } from "../result/result-document.ts";
import { type TableWriter, tableWriter } from "../result/table-units.ts";
import { changesOf, type ListedOrder } from "./changes.ts";
import { isLooser, type Point } from "./point.ts";
import type { Swept } from "./sweep.ts";

/** Everything the document is written from. */
export interface FrontierFacts {
  readonly input: ProblemInput;
  readonly setup: Setup;
  readonly swept: Swept;
  readonly by: FrontierKind;
  readonly and: FrontierKind | undefined;
  readonly withoutVariety: boolean;
  readonly fewframe: string;
  readonly engine: string;
  readonly timing: FrontierDocument["timing"];
}

/** The frontier in the problem's currency, each point beside the looser one before it. */
export function frontierDocument(facts: FrontierFacts): FrontierDocument {
  const { input, setup, swept, by, and } = facts;
  const { title, machines, weights } = input.problem;
  const table = tableWriter(weights.currency);
  const listed = swept.points.map((point) => ({ point, order: listedOrder(point, table) }));
  const isProved = swept.points.every(({ status }) => status === "optimal" || status === "infeasible");
  return {
    format: "fewframe-frontier/1",
    fewframe: facts.fewframe,
    title,
    currency: weights.currency,
    machines: machines.map(({ id, quantity }) => ({ id, quantity })),
    by,
    and: and ?? null,
    variety: !facts.withoutVariety,
    charges: chargesOf(weights, table),
    complete: swept.isWhole && isProved,
    points: listed.map((one, index) =>
      pointResult(one, { before: listed.slice(0, index), setup, table, kinds: { by, and } }),
    ),
    inputs: input.inputs,
    engine: facts.engine,
    timing: facts.timing,
  };
}

function chargesOf({ variety }: Weights, table: TableWriter): VarietyCharges {
  const money = (kind: keyof VarietyCharges): number => table.figure(variety[kind], "cent");
  return {
    motor: money("motor"),
    frame: money("frame"),
    gearbox: money("gearbox"),
    drive: money("drive"),
    maker: money("maker"),
    supply: money("supply"),
    resistor: money("resistor"),
    inductor: money("inductor"),
  };
}

/** A point with the parts list of its order. */
interface ListedPoint {
  readonly point: Point;
  readonly order: ListedOrder | undefined;
}

function listedOrder({ order }: Point, table: TableWriter): ListedOrder | undefined {
  return order === undefined ? undefined : { order, parts: partLines(order.evaluated, sourcesIn(order), table) };
}

interface Around {
  readonly before: readonly ListedPoint[];
  readonly setup: Setup;
  readonly table: TableWriter;
  readonly kinds: CapKinds;
}

function pointResult({ point, order }: ListedPoint, around: Around): FrontierPoint {
  const { status, bound, reason = null } = point;
  const evaluated = order?.order.evaluated;
  return {
    ...capsOf(point, around.kinds),
    status,
    reason,
    objective: evaluated === undefined ? null : objectiveOf(evaluated, around.table),
    ...boundOf({ status, bound, ...(evaluated === undefined ? {} : { evaluated }) }, around.table),
    distinct: evaluated?.money.distinct ?? null,
    parts: order?.parts ?? [],
    changes: order === undefined ? null : changesSince({ point, order }, around),
  };
}

interface CapKinds {
  readonly by: FrontierKind;
  readonly and: FrontierKind | undefined;
}

function capsOf({ caps }: Point, { by, and }: CapKinds): Pick<FrontierPoint, "cap" | "and_cap"> {
  return { cap: caps[by] ?? null, ...(and === undefined ? {} : { and_cap: caps[and] ?? null }) };
}

/** Against the last point before with a looser cap and an order. */
function changesSince(
  { point, order }: { point: Point; order: ListedOrder },
  { before, setup, kinds }: Around,
): FrontierChanges | null {
  const from = before.findLast((one) => one.order !== undefined && isLooser(one.point.caps, point.caps));
  if (from?.order === undefined) return null;
  return { from: capsOf(from.point, kinds), ...changesOf(setup, from.order, order) };
}
