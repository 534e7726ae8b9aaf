import type { Drive, Gearbox, Motor, Supply } from "../../src/machine/catalogue.ts";
import type { Mechanism } from "../../src/machine/mechanism.ts";
import type { Axis, Load, Machine, Needs, Problem, Segment } from "../../src/machine/problem.ts";

/** Featureless parts and axes for checks: every loss, drag and margin is zero until a test sets it. */
const PART = { maker: "Ostrand", prices: [{ from: 1, price: 100 }], texts: {} };

export function plainMotor(own: Partial<Motor> = {}): Motor {
  return {
    ...PART,
    part: "M",
    kind: "motor",
    frame: "F",
    construction: "slotted",
    feedback: "resolver",
    poles: 8,
    stallTorque: 100,
    ratedTorque: 100,
    ratedSpeed: 100,
    peakTorque: 300,
    maxSpeed: 1000,
    torqueConstant: 1,
    voltageConstant: 1 / Math.sqrt(3),
    resistance: 1,
    inductance: 1e-3,
    rotorInertia: 1e-9,
    frictionTorque: 0,
    windingShare: 0.4,
    windingLimit: 25,
    referenceAmbient: 20,
    mass: 1,
    length: 0.1,
    width: 0.1,
    brakeInertia: 0,
    ...own,
  };
}

export function plainGearbox(own: Partial<Gearbox> = {}): Gearbox {
  return {
    ...PART,
    part: "G",
    kind: "gearbox",
    frame: "P",
    motorFrames: ["F"],
    style: "inline",
    ratio: 5,
    efficiency: 1,
    backEfficiency: 1,
    inertia: 0,
    ratedTorque: 1000,
    accelerationTorque: 2000,
    ratedInputSpeed: 1000,
    maxInputSpeed: 1000,
    backlash: 1e-3,
    dragTorque: 0,
    mass: 1,
    ...own,
  };
}

export function plainDrive(own: Partial<Drive> = {}): Drive {
  return {
    ...PART,
    part: "D",
    kind: "drive",
    channels: 1,
    continuousCurrent: 100,
    peakCurrent: 300,
    peakTime: 2,
    busMax: 900,
    feedback: ["resolver"],
    commutation: "sinusoidal",
    switchingFrequency: 16000,
    fixedLoss: 0,
    lossPerAmp: 0,
    capacitance: 0,
    width: 0.05,
    ...own,
  };
}

export function plainSupply(own: Partial<Supply> = {}): Supply {
  return {
    ...PART,
    part: "S",
    kind: "supply",
    mains: 230,
    mainsMax: 480,
    phases: 3,
    continuousPower: 1e6,
    peakPower: 1e6,
    capacitance: 0,
    chopperVoltage: 780,
    feedsBack: false,
    width: 0.05,
    ...own,
  };
}

export function plainLoad(own: Partial<Load> = {}): Load {
  return {
    mass: 0,
    incline: 0,
    frictionForce: 0,
    frictionCoefficient: 0,
    viscous: 0,
    force: 0,
    counterbalance: 0,
    imbalance: 0,
    imbalanceAngle: 0,
    tilt: Math.PI / 2,
    ...own,
  };
}

const PLAIN_NEEDS: Needs = {
  torqueMargin: 0,
  peakMargin: 0,
  speedMargin: 0,
  currentMargin: 0,
  brakeFactor: 2,
  inertiaRatio: null,
  rippleCurrent: 0.2,
  voltageReserve: 0,
  commutationError: 0,
  gearboxShock: 1,
  rejectUnknown: false,
  match: {},
  relax: {},
};

/** Defaults of every mechanism. */
export const PLAIN_SHAFT = { efficiency: 1, backEfficiency: 1, inertia: 0, dragTorque: 0, couplingInertia: 0 };

export function plainAxis(
  mechanism: Mechanism,
  load: Load,
  motion: readonly Segment[],
  needs: Partial<Needs> = {},
  own: Partial<Axis> = {},
): Axis {
  return {
    id: "a",
    bus: "main",
    start: 0,
    inCycle: true,
    endless: false,
    mechanism,
    load,
    motion,
    needs: { ...PLAIN_NEEDS, ...needs },
    allow: { gearless: true },
    ...own,
  };
}

export function plainProblem(axes: readonly Axis[], cycle: number): Problem {
  const machine: Machine = {
    id: "m",
    quantity: 1,
    cycle,
    buses: [{ id: "main" }],
    axes,
    samePick: [],
    powerMargin: 0,
    modes: [],
  };
  return {
    title: "check",
    site: { ambient: 20, cabinetAmbient: 40, altitude: 0, mains: 400, phases: 3, mainsTolerance: 0.1 },
    machines: [machine],
    weights: {
      currency: "EUR",
      purchase: 1,
      variety: { motor: 0, frame: 0, gearbox: 0, drive: 0, maker: 0, supply: 0, resistor: 0, inductor: 0 },
      energy: { price: 0, duration: 0, hoursPerYear: 0, years: 0 },
      mass: 0,
      cabinetWidth: 0,
      leadTime: 0,
    },
    caps: {},
    forbid: { parts: [], makers: [] },
    dualSource: [],
  };
}
