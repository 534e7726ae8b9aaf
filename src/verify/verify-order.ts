import type { Catalogue } from "../machine/catalogue.ts";
import type { Problem } from "../machine/problem.ts";
import type { MachineResult, ResultDocument } from "../machine/result.ts";
import type { Compared, MachineVerification, VerificationDocument, Verified } from "../machine/verification.ts";
import { pickKey } from "./answer.ts";
import { compareFigure, compareLimits, type Figure, TOLERANCE } from "./compare.ts";
import { partsOfKind, SUBSTITUTE_STEP, substituteFault, wantedParts } from "./dual-source.ts";
import { type OrderOracle, type OrderVerdict, orderOracle } from "./evaluate-machine.ts";
import { busVoltage, type Check } from "./evaluate-pick.ts";
import type { MachineSums, OrderMoney } from "./money.ts";
import type { PickedMachine } from "./picks.ts";
import { verifyAxis } from "./verify-axis.ts";
import { verifyBus } from "./verify-bus.ts";

/** A result with its problem and the parts it picks. */
export interface OrderSource {
  readonly problem: Problem;
  readonly catalogue: Catalogue;
  readonly stated: ResultDocument;
  readonly machines: readonly PickedMachine[];
}

/** What the comparison itself says, files and versions aside. */
export type OrderVerification = Omit<VerificationDocument, "format" | "fewframe" | "inputs" | "changed" | "proof">;

/** Sub-steps of each piece of a motion, and of the machine cycle: sharp peaks of a sum want more. */
const AXIS_STEPS = 400;
const CYCLE_STEPS = { least: 100, whole: 10_000 } as const;

/** Simulates the picks of a result and compares every limit and figure it states. */
export function verifyOrder(source: OrderSource): { verification: OrderVerification; oracle: OrderOracle } {
  const { problem, catalogue, stated } = source;
  const oracle = orderOracle(problem, catalogue, AXIS_STEPS, CYCLE_STEPS);
  const verdict = oracle.evaluate(source.machines.map(({ pick }) => pick));
  const machines = source.machines.map((picked, m) => verifyMachine(source, { oracle, verdict, picked, m }));
  const order = orderFigures(source, verdict.money, substituteReasons(oracle, source));
  const places = placesOf(machines, order);
  const all = places.flatMap(({ own }) => own.compared);
  const verification = {
    title: stated.title,
    agrees: places.every(({ own }) => isFine(own)),
    tolerance: TOLERANCE,
    compared: all.length,
    largest: largestOf(places),
    machines,
    order,
  };
  return { verification, oracle };
}

/** What is said of a result without an answer: there is nothing to compare. */
export function emptyOrder({ title }: ResultDocument): OrderVerification {
  const order = { compared: [], not_checked: [], unfit: [], bounds: [] };
  return { title, agrees: true, tolerance: TOLERANCE, compared: 0, largest: null, machines: [], order };
}

interface MachineSource {
  readonly oracle: OrderOracle;
  readonly verdict: OrderVerdict;
  readonly picked: PickedMachine;
  readonly m: number;
}

function verifyMachine({ problem, stated }: OrderSource, source: MachineSource): MachineVerification {
  const { oracle, verdict, picked, m } = source;
  const { machine, result, pick } = picked;
  const { currency } = problem.weights;
  const axes = picked.axes.flatMap((own, a) => {
    const chosen = pick.axes[a];
    const bus = machine.buses.find(({ id }) => id === machine.axes[a]?.bus);
    if (chosen === undefined || bus === undefined) return [];
    const { high } = busVoltage(problem.site, bus);
    const carried = oracle.carried(m, a, pick.axes);
    return [verifyAxis({ oracle, m, a, stated: own, pick: chosen, carried, high, currency })];
  });
  const buses = machine.buses.flatMap((bus, b) => {
    const [own, option] = [picked.buses[b], pick.buses[b]];
    return own === undefined || option === undefined ? [] : [verifyBus({ oracle, m, bus, stated: own, pick, option })];
  });
  const sums = verdict.money.totals[m];
  const caps = compareLimits(result.limits, [{ checks: verdict.money.machineCaps[m] ?? [] }], stated.currency);
  const totals = sums === undefined ? [] : totalFigures(problem, stated.currency, result, sums);
  const compared = [...caps, ...totals.map((figure) => compareFigure(figure, stated.currency))];
  return {
    id: machine.id,
    axes,
    buses,
    own: { compared, not_checked: [], unfit: twinReasons(picked), bounds: [] },
  };
}

/** Groups of axes that should have the same pick and do not. */
function twinReasons({ machine, pick }: PickedMachine): string[] {
  return machine.samePick
    .filter((group) => {
      const picks = machine.axes.flatMap(({ id }, a) => (group.includes(id) ? [pick.axes[a]] : []));
      return new Set(picks.flatMap((one) => (one === undefined ? [] : [pickKey(one)]))).size > 1;
    })
    .map((group) => `different picks for ${group.join(", ")}`);
}

function totalFigures({ weights }: Problem, currency: string, { totals }: MachineResult, sums: MachineSums): Figure[] {
  const energy = (sums.input * weights.energy.hoursPerYear) / 1000;
  return [
    { id: "price", unit: currency, stated: totals.price, simulated: sums.price / 100 },
    { id: "mass", unit: "kg", stated: totals.mass, simulated: sums.mass },
    { id: "cabinet_width", unit: "m", stated: totals.cabinet_width, simulated: sums.width },
    { id: "energy", unit: "kWh", stated: totals.energy, simulated: energy },
  ];
}

/** Parts whose kind the problem wants from two sources, and whose stated substitute does not do; empty: all is well. */
function substituteReasons(oracle: OrderOracle, { stated, machines }: OrderSource): string[] {
  const answer = machines.map(({ pick }) => pick);
  return wantedParts(oracle, answer).flatMap((wanted) => {
    const { kind, part, maker } = wanted.part;
    const line = stated.parts.find((one) => one.kind === kind && one.id === part && one.maker === maker);
    const named = line?.substitute;
    if (named === undefined || named === null) return [`no substitute for ${kind} ${part}`];
    const other = partsOfKind(oracle.catalogue, kind).find((one) => one.part === named.id && one.maker === named.maker);
    if (other === undefined) return [`substitute ${named.id} for ${kind} ${part} is in no catalogue`];
    const fault = substituteFault(oracle, answer, { wanted, other, room: SUBSTITUTE_STEP });
    return fault === null ? [] : [`substitute ${named.id} for ${kind} ${part}: ${fault}`];
  });
}

function orderFigures(
  { stated, problem }: OrderSource,
  { total, terms, orderCaps }: OrderMoney,
  unfit: readonly string[],
): Verified {
  const { currency, objective, limits } = stated;
  const own = objective?.terms;
  const pairs: readonly (readonly [Figure["id"], number | undefined, number])[] = [
    ["total", objective?.total, total],
    ["purchase", own?.purchase, terms.purchase],
    ["energy", own?.energy, terms.energy],
    ["variety", own?.variety, terms.variety],
    ["mass", own?.mass, terms.mass],
    ["cabinet_width", own?.cabinet_width, terms.cabinetWidth],
    ["lead_time", own?.lead_time, terms.leadTime],
  ];
  const figures = pairs.map(([id, value = Number.NaN, cents]) =>
    compareFigure({ id, unit: currency, stated: value, simulated: cents / 100 }, currency),
  );
  const checks = problem.dualSource.length === 0 ? orderCaps : [...orderCaps, dualSourceCheck(unfit.length)];
  const compared = [...compareLimits(limits, [{ checks }], currency), ...figures];
  return { compared, not_checked: [], unfit, bounds: [] };
}

/** How many part numbers are without the substitute that is demanded. */
function dualSourceCheck(demand: number): Check {
  const utilisation = demand === 0 ? 0 : null;
  return { id: "order.dual_source", demand, allowed: 0, utilisation, passes: demand === 0 };
}

interface Place {
  readonly at: string;
  readonly own: Verified;
}

/** Every set of figures with its name: `lift`, or `left/lift` where there are several machines. */
function placesOf(machines: readonly MachineVerification[], order: Verified): Place[] {
  const named = (machine: string, id: string): string => (machines.length > 1 ? `${machine}/${id}` : id);
  return [
    ...machines.flatMap(({ id, axes, buses, own }) => [
      ...axes.map((axis) => ({ at: named(id, axis.id), own: axis })),
      ...buses.map((bus) => ({ at: named(id, bus.id), own: bus })),
      { at: id, own },
    ]),
    { at: "order", own: order },
  ];
}

function isFine({ compared, unfit, bounds }: Verified): boolean {
  const agrees = compared.every(({ verdict }) => verdict === "agrees");
  return agrees && unfit.length === 0 && bounds.every(({ holds }) => holds);
}

/** The figure with the largest difference. */
function largestOf(places: readonly Place[]): VerificationDocument["largest"] {
  const found = places.flatMap(({ at, own }) => own.compared.map((one) => ({ at, one })));
  const most = found.reduce<{ at: string; one: Compared } | undefined>(
    (best, next) => ((next.one.difference ?? -1) > (best?.one.difference ?? -1) ? next : best),
    undefined,
  );
  if (most === undefined || most.one.difference === null) return null;
  return { at: most.at, id: most.one.id, difference: most.one.difference };
}
