import { entryOf } from "../faults/entry-of.ts";
import type { LimitId } from "../machine/limit.ts";
import type { SharedRow } from "../model/selection.ts";
import { isViolated } from "../solve/cost.ts";
import { checkBus } from "./bus-check.ts";
import { busCuts } from "./bus-cuts.ts";
import { rivalOptions } from "./rivals.ts";
import { overdrawn } from "./source-breach.ts";
import { exactSourceCut, type Lack, sourceCut } from "./source-cuts.ts";
import { holdsAt, type PartUse, sourcesOf, type UsePlace, usesOf } from "./sourcing.ts";
import type { SupplyOption } from "./supply-options.ts";

/** Rows that an answer breaks for want of substitutes; none where it has all it needs. Each is true of every answer that stands. */
export function sourceRows(lack: Lack): SharedRow[] {
  const { sourcing, worked, leniency } = lack;
  if (sourcing.kinds.size === 0) return [];
  const lacking = sourcesOf(sourcing, worked, leniency).filter(({ substitute }) => substitute === undefined);
  if (lacking.length > 0) return lacking.flatMap((use) => rowsFor(lack, use));
  return overdrawn(sourcing, worked, leniency).map((place) => {
    const why = `more is broken with substitutes than may be`;
    return exactSourceCut(lack, sharingWith(lack, place), why);
  });
}

/** An axis, all places of the parts it has in common with others, and the buses of them all. */
function sharingWith({ sourcing, worked }: Lack, { machine, axis }: Extract<UsePlace, { kind: "axis" }>): UsePlace[] {
  const isHere = (one: UsePlace): boolean => one.kind === "axis" && one.machine === machine && one.axis === axis;
  const shared = usesOf(sourcing, worked.answer).filter(({ places }) => places.some(isHere));
  const places: UsePlace[] = [{ kind: "axis", machine, axis }, ...shared.flatMap((use) => use.places)];
  const buses = places.flatMap((one): UsePlace[] => {
    const { axes } = entryOf(sourcing.setup.machines, one.machine);
    return one.kind === "axis" ? [{ kind: "bus", machine: one.machine, bus: entryOf(axes, one.axis).bus }] : [];
  });
  return [...places, ...buses];
}

function rowsFor(lack: Lack, use: PartUse): SharedRow[] {
  const strained = use.places.flatMap((place) => (place.kind === "bus" && isAlone(lack, use, place) ? [place] : []));
  const rows = strained.flatMap((place) => limitRows(lack, use, place));
  return rows.length > 0 ? rows : [sourceCut(lack, use)];
}

type BusPlace = Extract<UsePlace, { kind: "bus" }>;

/** True where no rival holds on this bus, whatever it does on others. */
function isAlone({ sourcing, worked, leniency }: Lack, { part }: PartUse, place: BusPlace): boolean {
  return sourcing.rivals(part).every((rival) => !holdsAt(sourcing, worked, { part, rival, place, leniency }));
}

/**
 * Rows of a limit that every rival of a supply or resistor fails in the same run: what the bus asks is no more than the most
 * that any of them allows. Such a row cuts off far more than these picks.
 */
function limitRows(lack: Lack, { part }: PartUse, place: BusPlace): SharedRow[] {
  const { round, picks, worked, sourcing, leniency } = lack;
  const { machine, bus } = place;
  const { machine: own, buses } = entryOf(round.setup.machines, machine);
  const { alternatives, voltage } = entryOf(buses, bus);
  const instead = (option: SupplyOption): readonly SupplyOption[] => {
    const of = part.kind === "supply" ? option.supply : option.resistor;
    return of === undefined ? [] : sourcing.rivals(of).flatMap((rival) => rivalOptions(alternatives, option, rival));
  };
  const rivals = instead(entryOf(entryOf(worked.answer.machines, machine).buses, bus));
  const around = { site: round.setup.problem.site, voltage, margin: own.powerMargin };
  const { runs } = entryOf(entryOf(worked.evaluated.machines, machine).buses, bus);
  return runs.flatMap((fed, run) => {
    const fails = rivals.map((rival) => checkBus(fed.demand, rival, around).failed);
    const common = COMMON.filter((id) => !leniency.bus(machine, bus, id) && fails.every((ids) => ids.includes(id)));
    if (fails.length === 0) return [];
    const rows = busCuts({ round, picks, place, run, bus: fed, instead: { of: part.kind, options: instead } }, common);
    return rows.filter((row) => isViolated(round.built.model, row, picks));
  });
}

/** Limits of a bus whose rows compare a sum over its picks with what an option allows. */
const COMMON: readonly LimitId[] = [
  "supply.peak_power",
  "supply.continuous_power",
  "supply.capacitance",
  "supply.regeneration",
  "resistor.peak_power",
  "resistor.continuous_power",
  "drive.bus_voltage",
];
