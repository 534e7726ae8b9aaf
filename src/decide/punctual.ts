import type { JudgedPair } from "../candidates/judge-axis.ts";
import { DRIVE_STATE, type DriveStates } from "../candidates/judge-drives.ts";
import type { AnyPart, Catalogue } from "../machine/catalogue.ts";
import { partsOfSupply } from "../model/order.ts";
import { PASS_TOLERANCE, utilisationOf } from "../physics/limits/judgement.ts";
import type { JudgedAxes } from "./field.ts";
import { filtered, type JudgedAxis, type Look } from "./judged-axis.ts";
import type { Setup } from "./setup.ts";

/** Supplies and candidates that a cap on lead time leaves. */
export interface Punctual {
  readonly setup: Setup;
  readonly judged: JudgedAxes;
}

/**
 * Supplies and candidates without the parts that a cap on lead time shuts out: those that come later, and those that do
 * not say when.
 *
 * Exact: the longest lead time of an order is that of one of its parts, so an order with such a part breaks the cap
 * whatever else it holds, and none without it is touched.
 */
export function punctual(setup: Setup, judged: JudgedAxes): Punctual {
  const { leadTime } = setup.problem.caps;
  if (leadTime === undefined) return { setup, judged };
  const isPunctual = (part: AnyPart): boolean => comesWithin(part, leadTime);
  const machines = setup.machines.map((machine) => ({
    ...machine,
    buses: machine.buses.map((bus) => ({
      ...bus,
      options: bus.options.filter((option) => partsOfSupply(option).every(isPunctual)),
    })),
  }));
  const flags = flagsOf(setup.catalogue, isPunctual);
  return { setup: { ...setup, machines }, judged: judged.map((axes) => axes.map((axis) => punctualAxis(axis, flags))) };
}

function comesWithin({ leadTime }: AnyPart, most: number): boolean {
  const utilisation = leadTime === undefined ? null : utilisationOf(leadTime, most);
  return utilisation !== null && utilisation <= 1 + PASS_TOLERANCE;
}

/** Which parts come in time, by catalogue index. */
interface Flags {
  readonly motor: readonly boolean[];
  readonly gearbox: readonly boolean[];
  readonly drive: readonly boolean[];
  readonly inductor: readonly boolean[];
}

function flagsOf({ motors, gearboxes, drives, inductors }: Catalogue, isPunctual: (part: AnyPart) => boolean): Flags {
  return {
    motor: motors.map(isPunctual),
    gearbox: gearboxes.map(isPunctual),
    drive: drives.map(isPunctual),
    inductor: inductors.map(isPunctual),
  };
}

function punctualAxis(axis: JudgedAxis, flags: Flags): JudgedAxis {
  return { ...axis, looks: axis.looks.map((look) => punctualLook(look, flags)) };
}

function punctualLook({ judged, cases }: Look, flags: Flags): Look {
  const pairs = judged.pairs.map((pair) => withInductors(pair, flags));
  return { cases, judged: filtered({ ...judged, pairs }, (states, pair) => punctualStates(states, pair, flags)) };
}

/** The pair with the inductors that come in time, where a drive has some left. */
function withInductors(pair: JudgedPair, { inductor }: Flags): JudgedPair {
  if (pair.inductors.size === 0) return pair;
  const left = [...pair.inductors].map(([drive, list]) => [drive, list.filter((at) => inductor[at])] as const);
  return { ...pair, inductors: new Map(left.filter(([, list]) => list.length > 0)) };
}

/** The drives that come in time; undefined where none is left, or the pair itself is late. */
function punctualStates(
  of: DriveStates,
  { motor, gearbox, inductors }: JudgedPair,
  flags: Flags,
): DriveStates | undefined {
  if (!flags.motor[motor] || (gearbox >= 0 && !flags.gearbox[gearbox])) return undefined;
  const state = of.state.map((how, drive) => {
    if (!flags.drive[drive]) return DRIVE_STATE.rejected;
    // Alone (1) and with an inductor (2) are bits.
    return inductors.has(drive) ? how : how & DRIVE_STATE.alone;
  });
  return state.some((how) => how !== DRIVE_STATE.rejected) ? { ...of, state } : undefined;
}
