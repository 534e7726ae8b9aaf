import type { Fault } from "../faults/fault.ts";
import { contradiction, missing, outOfRange } from "../faults/wordings.ts";
import type { PartKind } from "../machine/catalogue.ts";
import type { Caution } from "../machine/result.ts";
import { formatQuantity } from "../units/format-quantity.ts";
import { cellPlace, listOf, numberOf, type Row, textOf } from "./row.ts";

/** A relation between the cells of a row; it is judged where all its cells have a number. */
interface Relation {
  readonly columns: readonly string[];
  readonly holds: (...numbers: readonly number[]) => boolean;
  readonly says: string;
}

const isWhole =
  (least: number) =>
  (value = Number.NaN): boolean =>
    Number.isInteger(value) && value >= least;
const isAtMost = (a = Number.NaN, b = Number.NaN): boolean => a <= b * (1 + 1e-12);
const isBelow = (a = Number.NaN, b = Number.NaN): boolean => a < b;

/** What the numbers of a row say of each other; the fault stands at the first column. */
const RELATIONS: Readonly<Record<PartKind, readonly Relation[]>> = {
  motor: [
    { columns: ["rated_torque", "stall_torque"], holds: isAtMost, says: "at most the stall torque" },
    { columns: ["rated_speed", "max_speed"], holds: isAtMost, says: "at most max_speed" },
    { columns: ["peak_knee_speed", "max_speed"], holds: isBelow, says: "less than max_speed" },
    { columns: ["peak_torque_at_max_speed", "peak_torque"], holds: isAtMost, says: "at most peak_torque" },
    { columns: ["poles"], holds: (n = Number.NaN) => isWhole(2)(n) && n % 2 === 0, says: "an even number of poles" },
    { columns: ["detents"], holds: isWhole(1), says: "a whole number" },
    { columns: ["winding_share"], holds: (n = Number.NaN) => n <= 1, says: "a share from 0 to 1" },
    { columns: ["reference_ambient", "winding_limit"], holds: isBelow, says: "less than winding_limit" },
  ],
  gearbox: [
    { columns: ["ratio"], holds: (n = Number.NaN) => n >= 1, says: "a ratio of 1 or more" },
    { columns: ["efficiency"], holds: (n = Number.NaN) => n <= 1, says: "an efficiency of at most 1" },
    { columns: ["back_efficiency"], holds: (n = Number.NaN) => n <= 1, says: "an efficiency of at most 1" },
    { columns: ["rated_input_speed", "max_input_speed"], holds: isAtMost, says: "at most max_input_speed" },
  ],
  drive: [
    { columns: ["channels"], holds: isWhole(1), says: "a whole number of channels" },
    { columns: ["continuous_current", "peak_current"], holds: isAtMost, says: "at most peak_current" },
    { columns: ["bus_min", "bus_max"], holds: isBelow, says: "less than bus_max" },
  ],
  supply: [
    { columns: ["phases"], holds: (n = Number.NaN) => n === 1 || n === 3, says: "1 or 3 phases" },
    { columns: ["mains", "mains_max"], holds: isAtMost, says: "at most mains_max" },
    { columns: ["continuous_power", "peak_power"], holds: isAtMost, says: "at most peak_power" },
    { columns: ["bus_voltage", "chopper_voltage"], holds: isBelow, says: "less than chopper_voltage" },
  ],
  resistor: [{ columns: ["continuous_power", "peak_power"], holds: isAtMost, says: "at most peak_power" }],
  inductor: [],
};

/** Faults between the cells of one row. */
export function checkRow(row: Row, kind: PartKind): readonly Fault[] {
  return [...RELATIONS[kind].flatMap((relation) => relationFaults(row, relation)), ...OWN_CHECKS[kind](row)];
}

function relationFaults(row: Row, relation: Relation): readonly Fault[] {
  const numbers = relation.columns.flatMap((name) => row.numbers.get(name) ?? []);
  const [first = ""] = relation.columns;
  if (numbers.length < relation.columns.length || relation.holds(...numbers)) return [];
  return [outOfRange(cellPlace(row, first), textOf(row, first), relation.says)];
}

const none = (): readonly Fault[] => [];

const OWN_CHECKS: Readonly<Record<PartKind, (row: Row) => readonly Fault[]>> = {
  motor: (row) => [...checkBrake(row), ...checkPeakCurrent(row)],
  gearbox: (row) => checkList(row, "motor_frames"),
  drive: (row) => checkList(row, "feedback"),
  supply: checkChopper,
  resistor: none,
  inductor: none,
};

function checkBrake(row: Row): readonly Fault[] {
  const hasTorque = row.numbers.has("brake_torque");
  const inertia = row.numbers.get("brake_inertia");
  if (hasTorque && inertia === undefined) {
    return [missing(cellPlace(row, "brake_inertia"), "an empty cell", "the inertia of the brake beside its torque")];
  }
  if (!hasTorque && inertia !== undefined && inertia > 0) {
    const place = cellPlace(row, "brake_inertia");
    return [contradiction(place, textOf(row, "brake_inertia"), "an empty cell where there is no brake_torque")];
  }
  return [];
}

/**
 * A current that is allowed briefly is no less than the one allowed all day, T0/Kt.
 *
 * Source: T = Kt·I; common practice, no source.
 */
function checkPeakCurrent(row: Row): readonly Fault[] {
  const peak = row.numbers.get("peak_current");
  const continuous = numberOf(row, "stall_torque") / numberOf(row, "torque_constant");
  if (peak === undefined || !(continuous > 0) || isAtMost(continuous, peak)) return [];
  const least = `at least stall_torque/torque_constant, ${formatQuantity(continuous, "A")}`;
  return [outOfRange(cellPlace(row, "peak_current"), textOf(row, "peak_current"), least)];
}

function checkChopper(row: Row): readonly Fault[] {
  if (row.numbers.has("chopper_voltage") || textOf(row, "feeds_back") === "yes") return [];
  const expected = "a voltage; only a supply that feeds back has none";
  return [missing(cellPlace(row, "chopper_voltage"), "an empty cell", expected)];
}

function checkList(row: Row, column: string): readonly Fault[] {
  const isEmpty = textOf(row, column) !== "" && listOf(row, column).length === 0;
  return isEmpty ? [missing(cellPlace(row, column), "an empty list", 'names separated by ";"')] : [];
}

/** A step that costs more than the step before it: used as it is, and said. */
export function dearerStepCautions(row: Row): readonly Caution[] {
  const dearer = row.prices.filter((step, index) => step.price > (row.prices[index - 1]?.price ?? Infinity));
  return dearer.map(({ from }) => ({
    code: "dearer-price-step",
    at: textOf(row, "part"),
    text: `The price from ${from} units on is higher than below (${row.file}:${row.row}).`,
  }));
}

/**
 * Torque constant and voltage constant of a sinusoidal motor are one: Kt = √3·Ke. Beyond 5 % apart, a caution.
 *
 * Source: follows from equal electrical and mechanical power, √3·U·I = T·ω; the 5 % is common practice, no source.
 */
export function constantsCautions(row: Row): readonly Caution[] {
  const ratio = numberOf(row, "torque_constant") / (Math.sqrt(3) * numberOf(row, "voltage_constant"));
  if (!Number.isFinite(ratio) || Math.abs(ratio - 1) <= 0.05) return [];
  const text = `Torque constant is ${(ratio * 100).toFixed(0)} % of what the voltage constant gives (${row.file}:${row.row}).`;
  return [{ code: "motor-constants", at: textOf(row, "part"), text }];
}
