import type { EvaluatedAxis, EvaluatedMachine } from "../decide/evaluate.ts";
import { unitPriceAt } from "../decide/money.ts";
import type { MachineSetup } from "../decide/setup.ts";
import type { JudgedAxes } from "../decide/sift.ts";
import type { Explanation } from "../explain/explanation.ts";
import { type AnyPart, partKey } from "../machine/catalogue.ts";
import type { AxisResult, BusResult, MachineResult } from "../machine/result.ts";
import { peakCurrentAt } from "../physics/limits/drive-limits.ts";
import { bindingResult, withPrice, withCapPrices } from "./bindings.ts";
import type { DocumentInput } from "./result-document.ts";
import { byUtilisation, type TableWriter } from "./table-units.ts";

/** What one machine of the document is written from. */
interface MachineSource {
  readonly input: DocumentInput;
  readonly setup: MachineSetup;
  readonly index: number;
  readonly evaluated: EvaluatedMachine;
  readonly table: TableWriter;
  readonly explanation: Explanation | undefined;
  readonly judged: JudgedAxes[number];
}

/** One machine of the result. */
export function machineResult(source: MachineSource): MachineResult {
  const { input, setup, index, evaluated, table, explanation } = source;
  const totals = input.decision.evaluated?.money.totals[index];
  const { hoursPerYear } = input.problem.weights.energy;
  return {
    id: setup.machine.id,
    quantity: setup.machine.quantity,
    totals: {
      price: table.figure(totals?.price ?? 0, "cent"),
      mass: totals?.mass ?? 0,
      cabinet_width: totals?.cabinetWidth ?? 0,
      energy: ((totals?.input ?? 0) * hoursPerYear) / 1000,
    },
    buses: setup.buses.map((_, bus) => busResult(source, bus)),
    modules: evaluated.modules.map(({ drive, bus, axes }) => ({
      drive: drive.part,
      drive_maker: drive.maker,
      bus: setup.buses[bus]?.bus.id ?? "",
      axes: axes.map((axis) => setup.axes[axis]?.axis.id ?? ""),
    })),
    axes: setup.axes.map((_, axis) => axisResult(source, axis)),
    limits: withCapPrices((totals?.limits ?? []).map(table.limit), explanation?.caps ?? [], table),
  };
}

function axisResult(source: MachineSource, index: number): AxisResult {
  const { setup, evaluated, table, explanation, judged } = source;
  const own = evaluated.axes[index];
  const axis = setup.axes[index];
  if (own === undefined || axis === undefined) throw new RangeError(`no axis ${index}`);
  const { motor, gearbox, drive, inductor, duty, ratio } = own.pick;
  const binding = bindingResult(explanation?.axes[source.index]?.[index], table, axis.axis.mechanism.kind === "rotary");
  const tally = judged[index]?.judged.tally;
  return {
    id: axis.axis.id,
    bus: axis.axis.bus,
    motor: motor.part,
    motor_maker: motor.maker,
    motor_frame: motor.frame.trim(),
    construction: motor.construction,
    brake: motor.brakeTorque !== undefined,
    gearbox: gearbox?.part ?? null,
    gearbox_maker: gearbox?.maker ?? null,
    ratio,
    drive: drive.part,
    drive_maker: drive.maker,
    inductor: inductor?.part ?? null,
    inductor_maker: inductor?.maker ?? null,
    price: table.figure(axisPrice(source, index, own), "cent"),
    carried_mass: own.carried,
    limits: withPrice(own.judgement.limits.map(table.limit), binding).toSorted(byUtilisation),
    not_checked: own.judgement.unchecked,
    settings: { current_limit: currentLimit(own) },
    starts_per_hour: (duty.starts * 3600) / duty.period,
    binding,
    candidates: { judged: tally?.judged ?? 0, passed: tally?.passed ?? 0 },
  };
}

/** Unit prices of the axis's parts; a drive module's price is split over the axes it feeds [cent]. */
function axisPrice({ input, evaluated }: MachineSource, index: number, { pick }: EvaluatedAxis): number {
  const quantity = new Map(input.decision.evaluated?.money.lines.map((line) => [`${line.part.kind} ${partKey(line.part)}`, line.quantity]));
  const price = (part: AnyPart | undefined): number => (part === undefined ? 0 : unitPriceAt(part, quantity.get(`${part.kind} ${partKey(part)}`) ?? 1));
  const fed = evaluated.modules.find(({ axes }) => axes.includes(index))?.axes.length ?? 1;
  return price(pick.motor) + price(pick.gearbox) + price(pick.inductor) + price(pick.drive) / fed;
}

/** Highest current to set in the drive: least of drive, motor and gearbox emergency torque [A rms]. */
function currentLimit({ pick: { motor, gearbox, drive, ratio, rating } }: EvaluatedAxis): number {
  const motorPeak = motor.peakCurrent ?? peakCurrentAt(motor, rating.alignment, rating.peakTorque);
  const emergency = gearbox?.emergencyTorque;
  const gear = emergency === undefined ? Number.POSITIVE_INFINITY : emergency / (ratio * motor.torqueConstant);
  return Math.min(drive.peakCurrent, motorPeak, gear);
}

function busResult({ input, setup, index, evaluated, table, explanation }: MachineSource, bus: number): BusResult {
  const option = input.decision.answer?.machines[index]?.buses[bus];
  const judgement = evaluated.buses[bus]?.judgement;
  const binding = option?.supply === undefined ? null : bindingResult(explanation?.buses[index]?.[bus], table, false);
  const lines = input.decision.evaluated?.money.lines ?? [];
  const price = (part: AnyPart | undefined): number => lines.find((line) => line.part === part)?.unitPrice ?? 0;
  const limits = (judgement?.limits ?? []).map(table.limit);
  return {
    id: setup.buses[bus]?.bus.id ?? "",
    supply: option?.supply?.part ?? null,
    supply_maker: option?.supply?.maker ?? null,
    resistor: option?.resistor?.part ?? null,
    resistor_maker: option?.resistor?.maker ?? null,
    price: table.figure(price(option?.supply) + price(option?.resistor), "cent"),
    limits: (binding === null ? limits : withPrice(limits, binding)).toSorted(byUtilisation),
    not_checked: judgement?.unchecked ?? [],
    binding,
    next_part: nextPart(binding),
  };
}

function nextPart(binding: BusResult["binding"]): BusResult["next_part"] {
  const step = binding?.next_step;
  if (step === null || step === undefined) return null;
  const [supply = step.part, resistor = null] = step.part.split(" with ");
  return { supply, resistor, total: step.total };
}
