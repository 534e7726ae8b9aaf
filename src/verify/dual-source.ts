import type { AnyPart, Catalogue, Drive, PartKind, Supply } from "../machine/catalogue.ts";
import type { BusPick, MachinePick } from "./answer.ts";
import type { OrderOracle } from "./evaluate-machine.ts";
import type { AxisPick, Check, PickVerdict } from "./evaluate-pick.ts";
import { supplyReasons } from "./supply-fit.ts";

/** A part of an answer whose kind the problem wants from two sources. */
export interface WantedPart {
  readonly part: AnyPart;
  /** Axes that use it, by machine. */
  readonly axes: readonly (readonly [machine: number, axis: number])[];
  readonly buses: readonly (readonly [machine: number, bus: number])[];
}

/** What the steps themselves may be off: a substitute right at its limit does not fail by it. */
export const SUBSTITUTE_STEP = 1e-4;

/** The parts of an answer that need a substitute, each once. */
export function wantedParts({ problem }: OrderOracle, answer: readonly MachinePick[]): WantedPart[] {
  const found = new Map<
    string,
    { part: AnyPart; axes: (readonly [number, number])[]; buses: (readonly [number, number])[] }
  >();
  const entry = (part: AnyPart): { axes: (readonly [number, number])[]; buses: (readonly [number, number])[] } => {
    const key = [part.kind, part.maker, part.part].join("\n");
    const made = found.get(key) ?? { part, axes: [], buses: [] };
    found.set(key, made);
    return made;
  };
  const isWanted = (part: AnyPart | null): part is AnyPart => part !== null && problem.dualSource.includes(part.kind);
  for (const [m, { axes, buses }] of answer.entries()) {
    for (const [a, pick] of axes.entries())
      for (const part of partsOf(pick).filter(isWanted)) entry(part).axes.push([m, a]);
    for (const [b, pick] of buses.entries())
      for (const part of feedingParts(pick).filter(isWanted)) entry(part).buses.push([m, b]);
  }
  return [...found.values()];
}

function partsOf({ motor, gearbox, drive, inductor }: AxisPick): (AnyPart | null)[] {
  return [motor, gearbox, drive, inductor];
}

function feedingParts({ supply, resistor }: BusPick): (AnyPart | null)[] {
  return [supply, resistor];
}

/** All parts of a kind. */
export function partsOfKind(catalogue: Catalogue, kind: PartKind): readonly AnyPart[] {
  const { motors, gearboxes, drives, supplies, resistors, inductors } = catalogue;
  const all: readonly AnyPart[] = [...motors, ...gearboxes, ...drives, ...supplies, ...resistors, ...inductors];
  return all.filter((part) => part.kind === kind);
}

/**
 * Why a part cannot take the place of another wherever an answer uses it, the rest of the answer as it is; null: it can.
 *
 * @param room - share by which a demand may exceed what is allowed
 */
export function substituteFault(
  oracle: OrderOracle,
  answer: readonly MachinePick[],
  { wanted, other, room }: { readonly wanted: WantedPart; readonly other: AnyPart; readonly room: number },
): string | null {
  const { part, axes, buses } = wanted;
  if (other.kind !== part.kind) return "it is of another kind";
  if (other.maker === part.maker) return "it is of the same maker";
  if (!mounts(part, other)) return "it does not mount alike";
  const faults = [
    ...axes.map(([m, a]) => axisFault(oracle, answer, { m, a, wanted, other, room })),
    ...buses.map(([m, b]) => busFault(oracle, answer, { m, b, other, room })),
  ];
  return faults.find((fault) => fault !== null) ?? null;
}

/** Frames by name; gearboxes turn the same corner; drives have a channel for each axis of a module. */
function mounts(part: AnyPart, other: AnyPart): boolean {
  if (part.kind === "drive" && other.kind === "drive") return other.channels >= part.channels;
  if (part.kind === "gearbox" && other.kind === "gearbox")
    return other.style === part.style && isSameFrame(part, other);
  return part.kind !== "motor" || other.kind !== "motor" || isSameFrame(part, other);
}

function isSameFrame(part: { readonly frame: string }, other: { readonly frame: string }): boolean {
  return part.frame.trim() === other.frame.trim();
}

interface AtAxis {
  readonly m: number;
  readonly a: number;
  readonly wanted: WantedPart;
  readonly other: AnyPart;
  readonly room: number;
}

function axisFault(
  oracle: OrderOracle,
  answer: readonly MachinePick[],
  { m, a, wanted, other, room }: AtAxis,
): string | null {
  const own = answer[m];
  const [pick, axis] = [own?.axes[a], oracle.problem.machines[m]?.axes[a]];
  if (own === undefined || pick === undefined || axis === undefined) return "there is no such axis";
  const where = ` on ${axis.id}`;
  const swapped: AxisPick = { ...pick, [other.kind]: other };
  const verdict = oracle.judge(m, a, swapped, oracle.carried(m, a, own.axes));
  const fault = verdictFault(verdict, room) ?? supplyClash(oracle, { m, bus: axis.bus, own }, wanted.part, other);
  return fault === null ? null : `${fault}${where}`;
}

function verdictFault({ unfit, limits, unchecked }: PickVerdict, room: number): string | null {
  if (unfit !== null) return unfit;
  const over = limits.find((check) => isOver(check, room));
  if (over !== undefined) return `fails ${over.id}`;
  const unknown = unchecked.find(({ passes }) => !passes);
  return unknown === undefined ? null : `fails ${unknown.id}`;
}

function isOver({ passes, demand, allowed }: Check, room: number): boolean {
  return !passes && !(demand <= allowed * (1 + room));
}

/** Why a drive does not go with the supply of its bus; null: it does, or is no drive. */
function supplyClash(
  { problem }: OrderOracle,
  { m, bus, own }: { m: number; bus: string; own: MachinePick },
  part: AnyPart,
  other: AnyPart,
): string | null {
  const b = problem.machines[m]?.buses.findIndex(({ id }) => id === bus) ?? -1;
  const supply = own.buses[b]?.supply ?? null;
  if (part.kind !== "drive" || other.kind !== "drive" || supply === null) return null;
  return driveClash(supply, part, other);
}

/** Its family must be the supply's, and it must stand the chopper as far as the drive in place stands that. */
function driveClash(supply: Supply, part: Drive, other: Drive): string | null {
  const families = [supply.busFamily, other.busFamily].filter((family) => family !== undefined);
  if (new Set(families).size > 1) return "another bus family";
  const chopper = supply.chopperVoltage ?? 0;
  return other.busMax < part.busMax && other.busMax < chopper ? "its bus_max is below the chopper voltage" : null;
}

function busFault(
  oracle: OrderOracle,
  answer: readonly MachinePick[],
  { m, b, other, room }: { m: number; b: number; other: AnyPart; room: number },
): string | null {
  const [own, bus] = [answer[m], oracle.problem.machines[m]?.buses[b]];
  const before = own?.buses[b];
  if (own === undefined || bus === undefined || before === undefined) return "there is no such bus";
  const option: BusPick = { ...before, [other.kind]: other };
  const where = ` on bus ${bus.id}`;
  const [reason] = supplyReasons(oracle.problem, bus, option);
  if (reason !== undefined) return `${reason}${where}`;
  const { checks, clash } = oracle.busLimits(m, bus, own.axes, option);
  const over = checks.find((check) => isOver(check, room));
  if (over !== undefined) return `fails ${over.id}${where}`;
  return clash ? `another bus family${where}` : null;
}
