import type { AnyPart, Catalogue, Motor } from "../machine/catalogue.ts";
import type { Measured } from "../machine/mechanism.ts";
import type { Axis, Bus, Machine, Problem, Site } from "../machine/problem.ts";
import type { AxisResult, BusResult, Caution, MachineResult } from "../machine/result.ts";
import { type AxisFacts, type BusFacts, type CautionInput, cautionsFor, type PartFacts } from "./cautions.ts";

/** An input as it was read, with the cautions met on the way. */
export interface CautionedInput {
  readonly problem: Problem;
  readonly catalogue: Catalogue;
  readonly cautions: readonly Caution[];
}

// Cautions of single catalogue rows: once parts are picked, they are given for those alone.
const OF_ROWS: ReadonlySet<string> = new Set(["motor-constants", "dearer-price-step"]);

/** Every caution of an input and, once there is an answer, of its picks. */
export function allCautions(input: CautionedInput, results: readonly MachineResult[]): Caution[] {
  const fromReading = input.cautions.filter(({ code }) => results.length === 0 || !OF_ROWS.has(code));
  return [...cautionsFor(cautionInputOf(input.problem, input.catalogue, results)), ...fromReading];
}

/**
 * The facts behind the cautions, gathered from the problem, the catalogues and, once there are any, the picks.
 *
 * @param results - the machines of the result; empty before or without an answer
 */
function cautionInputOf(problem: Problem, catalogue: Catalogue, results: readonly MachineResult[]): CautionInput {
  const named = (machine: Machine, id: string): string => (problem.machines.length > 1 ? `${machine.id}/${id}` : id);
  const found = problem.machines.map((machine) => ({ machine, result: results.find(({ id }) => id === machine.id) }));
  return {
    axes: found.flatMap(({ machine, result }) =>
      machine.axes.map((axis) =>
        axisFacts(
          { machine, axis, name: named(machine, axis.id), result: result?.axes.find(({ id }) => id === axis.id) },
          catalogue,
        ),
      ),
    ),
    buses: found.flatMap(({ machine, result }) =>
      machine.buses
        .filter(({ id }) => machine.axes.some(({ bus }) => bus === id))
        .map((bus) => {
          const pick = result?.buses.find(({ id }) => id === bus.id);
          const voltage = busVoltage(problem.site, { bus, pick }, catalogue);
          return busFacts(`bus ${named(machine, bus.id)}`, voltage, pick);
        }),
    ),
    parts: usedParts(results, catalogue).map(partFacts),
  };
}

/**
 * Gravity or imbalance can move the axis at rest. A counterbalance is not trusted here: it can fail.
 * A carrier counts as loaded even when its own mass is 0.
 */
export function canFall(axis: Pick<Axis, "load" | "mechanism" | "motion">, carries: boolean): boolean {
  if (axis.mechanism.kind === "measured") return isHeld(axis.mechanism);
  const { mass, incline, imbalance, tilt } = axis.load;
  const payload = axis.motion.some((segment) => segment.payload !== 0);
  if (axis.mechanism.kind === "rotary") return imbalance !== 0 && Math.abs(Math.sin(tilt)) > 1e-9;
  return Math.abs(Math.sin(incline)) > 1e-9 && (mass > 0 || payload || carries);
}

/** The same in the normal cycle or in any mode. */
function fallsAnywhere({ axes, modes }: Machine, axis: Axis): boolean {
  const carries = axes.some(({ carriedBy }) => carriedBy === axis.id);
  const others = modes.flatMap((mode) => {
    const own = mode.axes.get(axis.id);
    return own === undefined ? [] : [{ load: axis.load, mechanism: axis.mechanism, ...own }];
  });
  return [axis, ...others].some((run) => canFall(run, carries));
}

/** Of a measured shaft only what it holds at rest is known to hang on it. */
function isHeld({ speed, torque }: Measured): boolean {
  return torque.values.some((value, k) => speed.values[k] === 0 && Math.abs(value) > 1e-6);
}

interface AxisSources {
  readonly machine: Machine;
  readonly axis: Axis;
  readonly name: string;
  readonly result: AxisResult | undefined;
}

function axisFacts({ machine, axis, name, result }: AxisSources, catalogue: Catalogue): AxisFacts {
  const motor = result === undefined ? undefined : motorOf(result, catalogue);
  return {
    name,
    gravity: fallsAnywhere(machine, axis),
    brakeNeed: axis.needs.brake,
    brake: result?.brake,
    selfLocking: axis.mechanism.backEfficiency <= 0,
    feedback: motor?.feedback,
    startsPerHour: result?.starts_per_hour,
    gearbox: result?.gearbox,
    motor: result?.motor,
    drop: result?.drop,
  };
}

function busFacts(name: string, voltage: number | undefined, result: BusResult | undefined): BusFacts {
  return { name, supply: result?.supply, resistor: result?.resistor, voltage, rideDown: result?.ride_down };
}

interface BusPick {
  readonly bus: Bus;
  readonly pick: BusResult | undefined;
}

/** Highest voltage of a bus: regulated or crest of the highest mains, or the chopper's [V]; undefined without a supply. */
function busVoltage(site: Site, { bus, pick }: BusPick, catalogue: Catalogue): number | undefined {
  const supply = catalogue.supplies.find(({ part, maker }) => part === pick?.supply && maker === pick?.supply_maker);
  const idle = bus.voltage ?? Math.SQRT2 * site.mains * (1 + site.mainsTolerance);
  return supply === undefined ? bus.voltage : Math.max(idle, supply.chopperVoltage ?? 0);
}

function partFacts(part: AnyPart): PartFacts {
  const dearerStep = part.prices.some(({ price }, index) => price > (part.prices[index - 1]?.price ?? Infinity));
  return { name: part.part, constantsRatio: part.kind === "motor" ? constantsRatio(part) : undefined, dearerStep };
}

/** Kt / (√3·Ke) [1]: 1 for a sinusoidal motor. Source: power balance √3·Ke·ω·I = Kt·I·ω at unity power factor. */
function constantsRatio({ torqueConstant, voltageConstant }: Motor): number {
  return torqueConstant / (Math.sqrt(3) * voltageConstant);
}

function motorOf(axis: AxisResult, { motors }: Catalogue): Motor | undefined {
  return motors.find(({ part, maker }) => part === axis.motor && maker === axis.motor_maker);
}

function usedParts(machines: readonly MachineResult[], catalogue: Catalogue): AnyPart[] {
  const used = new Set(
    machines.flatMap((machine) => [...machine.axes.flatMap(axisParts), ...machine.buses.flatMap(busParts)]),
  );
  const all: readonly (readonly AnyPart[])[] = Object.values(catalogue);
  return all.flat().filter(({ kind, maker, part }) => used.has(keyOf(kind, maker, part)));
}

function axisParts(axis: AxisResult): string[] {
  return [
    keyOf("motor", axis.motor_maker, axis.motor),
    keyOf("gearbox", axis.gearbox_maker, axis.gearbox),
    keyOf("drive", axis.drive_maker, axis.drive),
    keyOf("inductor", axis.inductor_maker, axis.inductor),
  ];
}

function busParts(bus: BusResult): string[] {
  return [keyOf("supply", bus.supply_maker, bus.supply), keyOf("resistor", bus.resistor_maker, bus.resistor)];
}

function keyOf(kind: string, maker: string | null, part: string | null): string {
  return JSON.stringify([kind, maker, part]);
}
