import type { AxisSetup, MachineSetup, Setup } from "../decide/setup.ts";
import type { Fault, Result } from "../faults/fault.ts";
import { nearestName } from "../faults/nearest-name.ts";
import { unknownName } from "../faults/wordings.ts";
import type { IndexedMotor, Subject } from "./subject.ts";

/** An axis and its machine. */
export interface PlacedAxis {
  readonly machine: MachineSetup;
  readonly axis: AxisSetup;
}

/** The axis of a name, `axis` or `machine/axis`; a fault at the option where there is none or more than one. */
export function axisNamed({ machines }: Setup, name: string): Result<PlacedAxis> {
  const all = machines.flatMap((machine) => machine.axes.map((axis) => ({ machine, axis })));
  const full = all.filter((one) => fullName(one) === name);
  const found = full.length > 0 ? full : all.filter(({ axis }) => axis.axis.id === name);
  const [only, another] = found;
  if (only !== undefined && another === undefined) return { ok: true, value: only };
  const many = machines.length > 1;
  const names = found.length > 1 ? found.map(fullName) : all.flatMap((one) => namesOf(one, many));
  const expected =
    found.length > 1 ? `one axis: ${names.map((one) => JSON.stringify(one)).join(" or ")}` : "an axis of the problem";
  return fault("--axis", { name, expected, nearest: nearestName(name, names) });
}

/** The motors asked for, in that order, or a fault for each name that is none that can stand on the axis. */
export function motorsNamed(
  subject: Subject,
  names: readonly string[],
  usable: readonly IndexedMotor[],
): Result<IndexedMotor[]> {
  const faults: Fault[] = [];
  const found = names.flatMap((name) => {
    const own = usable.filter(({ motor }) => motor.part === name);
    if (own.length === 0) faults.push(...motorFaults(subject, name, usable));
    return own;
  });
  return faults.length > 0 ? { ok: false, faults } : { ok: true, value: [...new Set(found)] };
}

function motorFaults({ setup, axis }: Subject, name: string, usable: readonly IndexedMotor[]): readonly Fault[] {
  const isKnown = setup.catalogue.motors.some(({ part }) => part === name);
  const expected = isKnown
    ? `a motor that can stand on axis ${JSON.stringify(axis.axis.id)}: by its needs, with a gearbox and a drive`
    : "a motor of the catalogues";
  const nearest = isKnown
    ? undefined
    : nearestName(
        name,
        usable.map(({ motor }) => motor.part),
      );
  const result = fault("--motor", { name, expected, nearest });
  return result.ok ? [] : result.faults;
}

function fullName({ machine, axis }: PlacedAxis): string {
  return `${machine.machine.id}/${axis.axis.id}`;
}

function namesOf(one: PlacedAxis, many: boolean): string[] {
  return many ? [one.axis.axis.id, fullName(one)] : [one.axis.axis.id];
}

/** A name that came with an option, not from a file: the option stands where the file would. */
function fault(option: string, says: Parameters<typeof unknownName>[1]): Result<never> {
  return { ok: false, faults: [unknownName({ file: option, pointer: "" }, says)] };
}
