import { frameFits } from "../candidates/fit.ts";
import { entryOf } from "../faults/entry-of.ts";
import { type AnyPart, type PartKind, partKey } from "../machine/catalogue.ts";
import type { LimitId } from "../machine/limit.ts";
import { partsOfPick, partsOfSupply } from "../model/order.ts";
import { judgePick, type PickJudgement } from "../physics/limits/judge-pick.ts";
import { type PickParts, pickDuty } from "../physics/limits/pick-duty.ts";
import type { OrderAnswer } from "./answer.ts";
import { checkBus } from "./bus-check.ts";
import type { EvaluatedBus, EvaluatedOrder, Evaluator } from "./evaluate.ts";
import type { Leniency } from "./leniency.ts";
import { goesWithSupply, type RivalsOf, rivalOptions, rivalsOf, withPart } from "./rivals.ts";
import type { AxisSetup, Setup } from "./setup.ts";
import type { SupplyOption } from "./supply-options.ts";
import { worstOfRuns } from "./worst-of-runs.ts";

/** Where a part is used. */
export type UsePlace =
  | { readonly kind: "axis"; readonly machine: number; readonly axis: number }
  | { readonly kind: "bus"; readonly machine: number; readonly bus: number };

/** A part number that needs a substitute, and where it is used. */
export interface PartUse {
  readonly part: AnyPart;
  readonly places: readonly UsePlace[];
}

/** Dual source: which kinds need substitutes of another maker, and what those would fail in a part's place. */
export interface Sourcing {
  readonly setup: Setup;
  readonly kinds: ReadonlySet<PartKind>;
  readonly rivals: RivalsOf;
  /** Limits of an axis's pick with other parts at a carried mass [kg]; undefined: they do not go together there. */
  readonly onAxis: (
    at: { machine: number; axis: number; carried: number },
    parts: PickParts,
  ) => PickJudgement | undefined;
}

/** An answer with what it was worked out to. */
export interface Worked {
  readonly answer: OrderAnswer;
  readonly evaluated: EvaluatedOrder;
}

/** Dual source of a problem; judgements are kept, since answers have much in common. */
export function sourcingOf(setup: Setup, { duties }: Evaluator): Sourcing {
  const known = new Map<string, PickJudgement | undefined>();
  const allowed = setup.machines.map(({ axes }) => axes.map((axis) => allowedParts(setup, axis)));
  const judged: Sourcing["onAxis"] = ({ machine, axis, carried }, parts) => {
    const { site, voltage: bus } = axisAt(setup, machine, axis);
    if (!goTogether(parts, entryOf(entryOf(allowed, machine), axis))) return undefined;
    const { runs } = entryOf(setup.machines, machine);
    const judgements = duties(machine, axis, carried).map((duty) => judgePick(pickDuty(duty, parts, { site, bus })));
    return worstOfRuns(judgements, runs);
  };
  const onAxis: Sourcing["onAxis"] = (at, parts) => {
    const key = [at.machine, at.axis, at.carried, ...partsOfPick(parts).map(partId)].join("|");
    if (!known.has(key)) known.set(key, judged(at, parts));
    return known.get(key);
  };
  return { setup, kinds: new Set(setup.problem.dualSource), rivals: rivalsOf(setup.catalogue), onAxis };
}

function partId(part: AnyPart): string {
  return `${part.kind} ${partKey(part)}`;
}

function allowedParts({ catalogue }: Setup, { fit }: AxisSetup): ReadonlySet<AnyPart> {
  return new Set<AnyPart>([
    ...named(catalogue.motors, fit.motors),
    ...named(catalogue.gearboxes, fit.gearboxes),
    ...named(catalogue.drives, fit.drives),
    ...named(catalogue.inductors, fit.inductors),
  ]);
}

function named<T>(parts: readonly T[], indices: readonly number[]): T[] {
  return indices.flatMap((k) => parts[k] ?? []);
}

function goTogether(parts: PickParts, allowed: ReadonlySet<AnyPart>): boolean {
  const { motor, gearbox, drive } = parts;
  const isAllowed = partsOfPick(parts).every((part) => allowed.has(part));
  return isAllowed && frameFits(motor, gearbox) && drive.feedback.includes(motor.feedback);
}

function axisAt({ machines }: Setup, machine: number, axis: number): AxisSetup {
  return entryOf(entryOf(machines, machine).axes, axis);
}

/** Every part number of an answer that needs a substitute, in the order of its places. */
export function usesOf({ kinds, setup }: Sourcing, answer: OrderAnswer): PartUse[] {
  const uses = new Map<string, { part: AnyPart; places: UsePlace[] }>();
  const add = (part: AnyPart, place: UsePlace): void => {
    if (!kinds.has(part.kind)) return;
    const use = uses.get(partId(part)) ?? { part, places: [] };
    uses.set(partId(part), use);
    use.places.push(place);
  };
  setup.machines.forEach(({ axes, buses }, machine) => {
    const own = entryOf(answer.machines, machine);
    axes.forEach((_, axis) => {
      for (const part of partsOfPick(own.axes[axis])) add(part, { kind: "axis", machine, axis });
    });
    buses.forEach((_, bus) => {
      for (const part of partsOfSupply(own.buses[bus])) add(part, { kind: "bus", machine, bus });
    });
  });
  return [...uses.values()];
}

/** A part number with what could take its place everywhere; undefined: nothing. */
export interface Sourced extends PartUse {
  readonly substitute: AnyPart | undefined;
}

/** Finds the cheapest substitute of every part number of an answer that needs one. */
export function sourcesOf(sourcing: Sourcing, worked: Worked, leniency: Leniency): Sourced[] {
  return usesOf(sourcing, worked.answer).map((use) => ({
    ...use,
    substitute: sourcing
      .rivals(use.part)
      .find((rival) => use.places.every((place) => holdsAt(sourcing, worked, { ...use, place, rival, leniency }))),
  }));
}

/** A rival in the place of a part. */
export interface Swap {
  readonly part: AnyPart;
  readonly rival: AnyPart;
  readonly place: UsePlace;
  readonly leniency: Leniency;
}

/** Whether a rival holds in one place of a part, everything else of the answer as it is. */
export function holdsAt(sourcing: Sourcing, worked: Worked, { part, rival, place, leniency }: Swap): boolean {
  if (place.kind === "bus") return holdsOnBus(sourcing, worked, { rival, place, leniency });
  const judgement = judgedAt(sourcing, worked, { part, rival, place });
  return judgement !== undefined && isLetPass(judgement, place, leniency);
}

/** True where an axis fails nothing that is not let pass. */
export function isLetPass(
  judgement: PickJudgement,
  { machine, axis }: { machine: number; axis: number },
  leniency: Leniency,
): boolean {
  return judgement.failed.length === 0 || leniency.axis(machine, axis, judgement);
}

/** What an axis's limits are with a rival; undefined: it does not go there. */
export function judgedAt(
  sourcing: Sourcing,
  { answer, evaluated }: Worked,
  { part, rival, place }: Pick<Swap, "part" | "rival"> & { place: Extract<UsePlace, { kind: "axis" }> },
): PickJudgement | undefined {
  const { machine, axis } = place;
  const own = entryOf(answer.machines, machine);
  const option = own.buses[axisAt(sourcing.setup, machine, axis).bus];
  if (clashes(part, rival, option)) return undefined;
  const { carried } = entryOf(entryOf(evaluated.machines, machine).axes, axis);
  return sourcing.onAxis({ machine, axis, carried }, withPart(entryOf(own.axes, axis), rival));
}

/** True for a drive that does not go with the supply of its bus. */
export function clashes(part: AnyPart, rival: AnyPart, option: SupplyOption | undefined): boolean {
  if (part.kind !== "drive" || rival.kind !== "drive" || option === undefined) return false;
  return !goesWithSupply(part, rival, option);
}

function holdsOnBus(
  { setup }: Sourcing,
  { answer, evaluated }: Worked,
  { rival, place, leniency }: Pick<Swap, "rival" | "leniency"> & { place: Extract<UsePlace, { kind: "bus" }> },
): boolean {
  const { machine, bus } = place;
  const option = entryOf(entryOf(answer.machines, machine).buses, bus);
  const { alternatives } = entryOf(entryOf(setup.machines, machine).buses, bus);
  const fed = entryOf(entryOf(evaluated.machines, machine).buses, bus);
  const mayBreak = (id: LimitId): boolean => leniency.bus(machine, bus, id);
  return rivalOptions(alternatives, option, rival).some((other) =>
    carries(setup, { machine, bus }, { fed, option: other, mayBreak }),
  );
}

/** Limits that some runs of a bus break with a rival of its supply or resistor: of the ways to feed it, that which breaks fewest. */
export function brokenOnBus(
  { setup }: Sourcing,
  { answer, evaluated }: Worked,
  { rival, place: { machine, bus } }: { rival: AnyPart; place: { machine: number; bus: number } },
): readonly LimitId[] {
  const { machine: own, buses } = entryOf(setup.machines, machine);
  const { voltage, alternatives } = entryOf(buses, bus);
  const around = { site: setup.problem.site, voltage, margin: own.powerMargin };
  const option = entryOf(entryOf(answer.machines, machine).buses, bus);
  const { runs } = entryOf(entryOf(evaluated.machines, machine).buses, bus);
  const broken = rivalOptions(alternatives, option, rival).map((other) => [
    ...new Set(runs.flatMap(({ demand }) => checkBus(demand, other, around).failed)),
  ]);
  return broken.toSorted((a, b) => a.length - b.length)[0] ?? [];
}

/** Whether a bus stands with a way of feeding it, its picks as they are. */
export function carries(
  { machines, problem: { site } }: Setup,
  place: { readonly machine: number; readonly bus: number },
  asked: {
    readonly fed: Pick<EvaluatedBus, "runs">;
    readonly option: SupplyOption;
    readonly mayBreak: (id: LimitId) => boolean;
  },
): boolean {
  const { machine, buses } = entryOf(machines, place.machine);
  const { voltage } = entryOf(buses, place.bus);
  return asked.fed.runs.every(({ demand }) => {
    const { failed, familyClash } = checkBus(demand, asked.option, { site, voltage, margin: machine.powerMargin });
    return !familyClash && failed.every(asked.mayBreak);
  });
}
