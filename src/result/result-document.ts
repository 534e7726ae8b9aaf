import { byLimit } from "../candidates/tally.ts";
import type { Decision } from "../decide/decide.ts";
import type { EvaluatedOrder } from "../decide/evaluate.ts";
import { STRICT } from "../decide/leniency.ts";
import type { Setup } from "../decide/setup.ts";
import { type Sourced, sourcesOf } from "../decide/sourcing.ts";
import type { Explanation, Obstacle } from "../explain/explanation.ts";
import type { ProblemInput } from "../input/read-problem.ts";
import type { AnyPart } from "../machine/catalogue.ts";
import type { Limit, LimitId } from "../machine/limit.ts";
import { outputTurns } from "../machine/mechanism.ts";
import type {
  Distinct,
  InfeasibleAxis,
  MachineResult,
  Objective,
  PartLine,
  Rejection,
  ResultDocument,
  Unknown,
} from "../machine/result.ts";
import { allCautions } from "../report/caution-input.ts";
import { withCapPrices } from "./bindings.ts";
import { machineResults } from "./machine-result.ts";
import { type TableWriter, tableWriter, unitOfLimit } from "./table-units.ts";

/** Everything the document is written from. */
export interface DocumentInput extends ProblemInput {
  readonly setup: Setup;
  readonly decision: Decision;
  readonly explanation: Explanation | undefined;
  readonly obstacles: readonly Obstacle[];
  readonly certificate: ResultDocument["certificate"];
  readonly fewframe: string;
  readonly engine: string;
  readonly timing: ResultDocument["timing"];
}

/** The result document: what was decided and why, in table units. */
export function resultDocument(input: DocumentInput): ResultDocument {
  const { problem, decision, setup } = input;
  const table = tableWriter(problem.weights.currency);
  const { evaluated } = decision;
  const machines = evaluated === undefined ? [] : machineResults(input, evaluated, table);
  const sources = sourcesIn(decision);
  const caps = [...(evaluated?.money.caps ?? []), ...dualSourceLimit(sources)].map(table.limit);
  return {
    format: "fewframe-result/1",
    fewframe: input.fewframe,
    title: problem.title,
    currency: problem.weights.currency,
    status: decision.status,
    objective: evaluated === undefined ? null : objectiveOf(evaluated, table),
    ...boundOf(decision, table),
    machines,
    limits: withCapPrices(caps, input.explanation?.caps ?? [], table),
    parts: evaluated === undefined ? [] : partLines(evaluated, sources, table),
    distinct: evaluated === undefined ? NONE : evaluated.money.distinct,
    rejections: rejectionsOf(setup, decision),
    infeasible: input.obstacles.map((obstacle) => infeasibleOf(setup, obstacle, table)),
    unknowns: unknownsOf(machines),
    cautions: allCautions(input, machines),
    defaults: input.defaults,
    inputs: input.inputs,
    certificate: input.certificate,
    engine: input.engine,
    timing: input.timing,
  };
}

const NONE: Distinct = { motors: 0, frames: 0, gearboxes: 0, drives: 0, makers: 0, parts: 0 };

/** What an order comes to, term by term. */
export function objectiveOf({ money: { total, terms } }: EvaluatedOrder, table: TableWriter): Objective {
  const cents = (value: number): number => table.figure(value, "cent");
  return {
    total: cents(total),
    terms: {
      purchase: cents(terms.purchase),
      energy: cents(terms.energy),
      variety: cents(terms.variety),
      mass: cents(terms.mass),
      cabinet_width: cents(terms.cabinetWidth),
      lead_time: cents(terms.leadTime),
    },
  };
}

/** Bound and gap; an optimum's bound is its own total, proved to the cent. */
export function boundOf(
  { status, bound, evaluated }: Pick<Decision, "status" | "bound" | "evaluated">,
  table: TableWriter,
): Pick<ResultDocument, "bound" | "gap"> {
  if (status === "infeasible") return { bound: null, gap: null };
  const known = Number.isFinite(bound) ? table.figure(bound, "cent") : null;
  if (evaluated === undefined) return { bound: known, gap: null };
  const total = table.figure(evaluated.money.total, "cent");
  if (status === "optimal") return { bound: Math.min(total, Math.max(known ?? 0, total - 0.01)), gap: 0 };
  return { bound: known ?? 0, gap: total > 0 ? Math.max(0, total - (known ?? 0)) / total : 0 };
}

/** Parts with their substitutes; undefined where none are demanded. */
export function sourcesIn({
  sourcing,
  answer,
  evaluated,
}: Pick<Decision, "sourcing" | "answer" | "evaluated">): Sourced[] | undefined {
  if (sourcing.kinds.size === 0 || answer === undefined || evaluated === undefined) return undefined;
  return sourcesOf(sourcing, { answer, evaluated }, STRICT);
}

/** Part numbers without the substitute that is demanded: none may be. */
function dualSourceLimit(sources: readonly Sourced[] | undefined): Limit[] {
  if (sources === undefined) return [];
  const demand = sources.filter(({ substitute }) => substitute === undefined).length;
  return [{ id: "order.dual_source", demand, allowed: 0, unit: "count", utilisation: demand === 0 ? 0 : null }];
}

function substituteOf(part: AnyPart, sources: readonly Sourced[]): NonNullable<PartLine["substitute"]> | null {
  const found = sources.find((source) => source.part === part)?.substitute;
  return found === undefined ? null : { id: found.part, maker: found.maker };
}

/** The parts list of an order, with substitutes where they are demanded. */
export function partLines(
  { money: { lines } }: EvaluatedOrder,
  sources: readonly Sourced[] | undefined,
  table: TableWriter,
): PartLine[] {
  return lines.map(({ part, quantity, unitPrice, usedBy }) => ({
    kind: part.kind,
    id: part.part,
    maker: part.maker,
    quantity,
    unit_price: table.figure(unitPrice, "cent"),
    used_by: usedBy,
    ...(sources === undefined ? {} : { substitute: substituteOf(part, sources) }),
  }));
}

function rejectionsOf({ machines }: Setup, { judged }: Decision): Rejection[] {
  return judged.flatMap((axes, m) =>
    axes.map(({ setup, tally }) => ({
      machine: machines[m]?.machine.id ?? "",
      axis: setup.axis.id,
      judged: tally.judged,
      passed: tally.passed,
      unfit: Object.fromEntries(tally.unfit),
      first: byLimit(tally.first),
      worst: byLimit(tally.worst),
    })),
  );
}

function infeasibleOf(
  { machines }: Setup,
  { machine, axis, limits, unknown, nearest, note }: Obstacle,
  table: TableWriter,
): InfeasibleAxis {
  const own = machines[machine]?.axes[axis]?.axis;
  const isRotary = own !== undefined && outputTurns(own.mechanism);
  const figures = ({
    id,
    demand,
    allowed,
  }: Obstacle["limits"][number]): { id: LimitId; demand: number; allowed: number; unit: string } => {
    const unit = unitOfLimit(id, isRotary);
    return { id, demand: table.figure(demand, unit), allowed: table.figure(allowed, unit), unit: table.unit(unit) };
  };
  return {
    machine: machines[machine]?.machine.id ?? null,
    axis: own?.id ?? null,
    limits: [...limits, ...unknown].map(({ id }) => id),
    relief: limits.map((limit) => {
      const found = figures(limit);
      return {
        ...found,
        relief: found.demand - found.allowed,
        share: found.allowed > 0 ? found.demand / found.allowed - 1 : null,
      };
    }),
    not_checked: unknown,
    nearest: nearest.map(({ names, fails, unknown: not_checked }) => ({
      ...names,
      not_checked,
      fails: fails.map((limit) => {
        const found = figures(limit);
        return { ...found, utilisation: found.allowed > 0 ? found.demand / found.allowed : null };
      }),
    })),
    note,
  };
}

/** One entry for each part and empty column: which limits could not be checked, and who uses the part. */
function unknownsOf(machines: readonly MachineResult[]): Unknown[] {
  const found = new Map<
    string,
    { part: string; maker: string; missing: string; limits: Set<LimitId>; users: Set<string> }
  >();
  const note = (
    { part, maker }: { part: string; maker: string },
    one: { id: LimitId; missing: string },
    user: string,
  ): void => {
    const key = `${maker}/${part}/${one.missing}`;
    const entry = found.get(key) ?? { part, maker, missing: one.missing, limits: new Set(), users: new Set() };
    found.set(key, entry);
    entry.limits.add(one.id);
    entry.users.add(user);
  };
  for (const { id: machine, axes, buses } of machines) {
    const place = (id: string): string => (machines.length > 1 ? `${machine}/${id}` : id);
    for (const axis of axes) for (const one of axis.not_checked) note(partOfLimit(axis, one.id), one, place(axis.id));
    for (const bus of buses) {
      for (const one of bus.not_checked) note(partOfBus(bus, one.missing), one, place(bus.id));
    }
  }
  return [...found.values()].map(({ limits, users, ...rest }) => ({
    ...rest,
    limits: [...limits],
    used_by: [...users],
  }));
}

/** The part whose cell is empty: the supply, but for what a resistor says of itself. */
function partOfBus(bus: MachineResult["buses"][number], missing: string): { part: string; maker: string } {
  if (missing === "pulse_energy" && bus.resistor !== null)
    return { part: bus.resistor, maker: bus.resistor_maker ?? "" };
  return { part: bus.supply ?? "", maker: bus.supply_maker ?? "" };
}

function partOfLimit(axis: MachineResult["axes"][number], id: LimitId): { part: string; maker: string } {
  if (id.startsWith("gearbox.") || id === "axis.resonance")
    return { part: axis.gearbox ?? "", maker: axis.gearbox_maker ?? "" };
  if (id.startsWith("drive.")) return { part: axis.drive, maker: axis.drive_maker };
  return { part: axis.motor, maker: axis.motor_maker };
}
