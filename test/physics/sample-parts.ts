import type { Drive, Gearbox, Motor, Resistor, Supply } from "../../src/machine/catalogue.ts";
import type { Duty } from "../../src/physics/duty/duty.ts";
import { type PickDuty, pickDuty } from "../../src/physics/limits/pick-duty.ts";
import { busVoltage } from "../../src/physics/limits/rating.ts";
import { MILD_SITE } from "./sample-axis.ts";

const BASE = { maker: "invented", prices: [{ from: 1, price: 100 }], texts: {} } as const;

/** A massless, frictionless, lossless motor: what a test does not set does not enter. */
export function motorWith(given: Partial<Motor> = {}): Motor {
  return {
    ...BASE,
    kind: "motor",
    part: "M",
    frame: "F",
    construction: "slotted",
    feedback: "encoder-absolute",
    poles: 8,
    stallTorque: 1,
    ratedTorque: 1,
    ratedSpeed: 100,
    peakTorque: 3,
    maxSpeed: 1000,
    torqueConstant: 1,
    voltageConstant: 1 / Math.sqrt(3),
    resistance: 0,
    inductance: 0.002,
    rotorInertia: 0,
    frictionTorque: 0,
    windingShare: 0.4,
    windingLimit: 130,
    referenceAmbient: 40,
    mass: 1,
    length: 0.1,
    width: 0.06,
    brakeInertia: 0,
    ...given,
  };
}

export function gearboxWith(given: Partial<Gearbox> = {}): Gearbox {
  return {
    ...BASE,
    kind: "gearbox",
    part: "G",
    frame: "F",
    motorFrames: ["F"],
    style: "inline",
    ratio: 1,
    efficiency: 1,
    backEfficiency: given.efficiency ?? 1,
    inertia: 0,
    ratedTorque: 1,
    accelerationTorque: 2,
    ratedInputSpeed: 300,
    maxInputSpeed: 600,
    backlash: 0,
    dragTorque: 0,
    mass: 1,
    ...given,
  };
}

export function driveWith(given: Partial<Drive> = {}): Drive {
  return {
    ...BASE,
    kind: "drive",
    part: "D",
    channels: 1,
    continuousCurrent: 5,
    peakCurrent: 10,
    peakTime: 3,
    busMax: 800,
    feedback: ["encoder-absolute"],
    commutation: "sinusoidal",
    switchingFrequency: 8000,
    fixedLoss: 0,
    lossPerAmp: 0,
    capacitance: 0,
    width: 0.05,
    ...given,
  };
}

export function supplyWith(given: Partial<Supply> = {}): Supply {
  return {
    ...BASE,
    kind: "supply",
    part: "S",
    mains: 400,
    mainsMax: 400,
    phases: 3,
    continuousPower: 1000,
    peakPower: 2000,
    capacitance: 0,
    feedsBack: false,
    width: 0.05,
    ...given,
  };
}

export function resistorWith(given: Partial<Resistor> = {}): Resistor {
  return { ...BASE, kind: "resistor", part: "R", resistance: 50, continuousPower: 100, peakPower: 1e6, ...given };
}

/** A duty with its parts on a mild site: no derating. */
export function pickOf(duty: Duty, parts: { motor?: Motor; gearbox?: Gearbox; drive?: Drive } = {}): PickDuty {
  const { motor = motorWith(), gearbox, drive = driveWith() } = parts;
  const bus = busVoltage({ id: "main" }, MILD_SITE);
  return pickDuty(duty, { motor, gearbox, drive, inductor: undefined }, { site: MILD_SITE, bus });
}
