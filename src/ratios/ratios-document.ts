import type { ProblemInput } from "../input/read-problem.ts";
import type { InputFile } from "../machine/problem.ts";
import type { CarriedMass, MotorRatios, OtherMotor, RatioPick, RatiosDocument } from "../machine/ratios.ts";
import type { AxisResult } from "../machine/result.ts";
import { allCautions } from "../report/caution-input.ts";
import { byUtilisation, type TableWriter, tableWriter } from "../result/table-units.ts";
import { meanInput, motorPrice } from "./money.ts";
import type { MotorOverRatios } from "./motor-ratios.ts";
import { type RealPick, ratioOf } from "./real-picks.ts";
import type { Standing } from "./standing.ts";
import type { Subject } from "./subject.ts";

/** What the document is written from. */
export interface RatiosSource {
  readonly input: ProblemInput;
  readonly version: string;
  readonly subject: Subject;
  readonly carried: CarriedMass;
  readonly motors: readonly MotorOverRatios[];
  readonly others: readonly Standing[];
  /** The motors were asked for. */
  readonly asked: boolean;
  /** Motors that fit the axis, but have no gearbox or no drive. */
  readonly unusable: number;
  /** The axis as a result has it; undefined: none was named. */
  readonly picked: AxisResult | undefined;
  readonly result: InputFile | undefined;
}

/** The ratios of an axis as plain JSON. */
export function ratiosDocument(source: RatiosSource): RatiosDocument {
  const { input, subject, carried, result } = source;
  const { machine, axis } = subject;
  const { currency, energy } = input.problem.weights;
  const table = tableWriter(currency);
  return {
    format: "fewframe-ratios/1",
    fewframe: source.version,
    title: input.problem.title,
    currency,
    machine: machine.machine.id,
    quantity: machine.machine.quantity,
    axis: axis.axis.id,
    mechanism: axis.axis.mechanism.kind,
    carried,
    allowed_ratios: axis.axis.allow.ratios ?? null,
    energy_years: energy.years,
    asked: source.asked,
    motors: source.motors.map((motor) => motorResult(source, motor, table)),
    others: source.others.map((other) => otherMotor(subject, other, table)),
    unfit: unfitMotors(source),
    cautions: cautionsOf(source),
    inputs: { ...input.inputs, ...(result === undefined ? {} : { result }) },
  };
}

function motorResult(source: RatiosSource, own: MotorOverRatios, table: TableWriter): MotorRatios {
  const { motor } = own.motor;
  const { drive, inductor } = own.train;
  return {
    motor: motor.part,
    maker: motor.maker,
    frame: motor.frame.trim(),
    brake: motor.brakeTorque !== undefined,
    price: table.figure(motorPrice(source.subject, motor), "cent"),
    assumed: own.assumed.about,
    drive: drive.part,
    drive_maker: drive.maker,
    inductor: inductor?.part ?? null,
    inductor_maker: inductor?.maker ?? null,
    range: own.range,
    windows: own.windows,
    fails: own.fails,
    inertia_matched: own.inertia_matched,
    least_heat: own.least_heat,
    curve: own.curve,
    not_checked: own.not_checked,
    gearboxes: own.picks.map((pick) => pickResult(source, pick, table)),
  };
}

function pickResult(source: RatiosSource, pick: RealPick, table: TableWriter): RatioPick {
  const { parts, judgement } = pick;
  const { energy } = source.input.problem.weights;
  const power = meanInput(source.subject, pick.picks);
  return {
    gearbox: parts.gearbox?.part ?? null,
    gearbox_maker: parts.gearbox?.maker ?? null,
    ratio: ratioOf(pick),
    drive: parts.drive.part,
    drive_maker: parts.drive.maker,
    inductor: parts.inductor?.part ?? null,
    inductor_maker: parts.inductor?.maker ?? null,
    passes: judgement.failed.length === 0,
    failed: judgement.failed,
    limits: judgement.limits.map(table.limit).toSorted(byUtilisation),
    not_checked: judgement.unchecked,
    price: table.figure(pick.price, "cent"),
    energy: (power * energy.hoursPerYear) / 1000,
    energy_cost: table.figure(Math.round(power * energy.price * energy.duration), "cent"),
    picked: isPicked(source.picked, pick),
  };
}

function isPicked(picked: AxisResult | undefined, { parts }: RealPick): boolean {
  if (picked === undefined) return false;
  const { motor, gearbox } = parts;
  const sameMotor = picked.motor === motor.part && picked.motor_maker === motor.maker;
  return sameMotor && picked.gearbox === (gearbox?.part ?? null) && picked.gearbox_maker === (gearbox?.maker ?? null);
}

function otherMotor(subject: Subject, { motor, standing, fails }: Standing, table: TableWriter): OtherMotor {
  const price = table.figure(motorPrice(subject, motor), "cent");
  return { motor: motor.part, maker: motor.maker, price, standing, fails };
}

function unfitMotors({ subject, unusable }: RatiosSource): RatiosDocument["unfit"] {
  const unfit = [...subject.axis.fit.unfit.motors].map(([reason, motors]) => ({ reason, motors }));
  return unusable === 0 ? unfit : [...unfit, { reason: "no gearbox or no drive goes with them", motors: unusable }];
}

/** Those of the axis, and those of an order of this axis alone. */
function cautionsOf({ input, subject }: RatiosSource): RatiosDocument["cautions"] {
  const { machine } = subject.machine;
  const { axis } = subject.axis;
  const own = [axis.id, `${machine.id}/${axis.id}`];
  const alone = { ...input, problem: { ...input.problem, machines: [{ ...machine, axes: [axis] }] } };
  return [
    ...allCautions(input, []).filter(({ at }) => own.includes(at)),
    ...allCautions(alone, []).filter(({ at }) => at === "order"),
  ];
}
