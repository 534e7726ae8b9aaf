import type { Mechanism, ScrewCheck } from "../../src/machine/mechanism.ts";
import type { Axis, LawName, Load, MoveSegment, Needs, Segment } from "../../src/machine/problem.ts";
import type { Dice } from "./random.ts";

/** A load of nothing. */
export const FREE: Load = {
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
};

const LAWS: readonly LawName[] = [
  "trapezoid",
  "triangle",
  "s-curve",
  "harmonic",
  "cycloidal",
  "modified-trapezoid",
  "modified-sine",
  "polynomial-5",
  "polynomial-7",
];
const G = 9.80665;
type Kind = "ball-screw" | "lead-screw" | "belt" | "rack" | "rollers" | "rotary";

/** A screw that whirls at a speed near those of the axes drawn: the finer its lead, the faster it turns. */
function screwFor(lead: number): ScrewCheck {
  return { diameter: 0.016, length: lead < 0.01 ? 0.5 : 0.8, ends: lead === 0.01 ? "fixed-supported" : "fixed-fixed" };
}

function mechanismOf(dice: Dice, kind: Kind): Mechanism {
  const efficiency = kind === "lead-screw" ? dice.between(0.3, 0.6) : dice.between(0.8, 1);
  const back = kind === "lead-screw" ? dice.between(-0.4, 0.3) : efficiency - dice.of([0, dice.between(0, 0.1)]);
  const base = {
    efficiency,
    backEfficiency: back,
    inertia: dice.spread(1e-5, 3e-4),
    dragTorque: dice.of([0, dice.between(0.01, 0.1)]),
    couplingInertia: dice.of([0, dice.spread(1e-6, 3e-5)]),
    stiffness: kind === "rotary" ? 5000 : 2e6,
  };
  if (kind === "ball-screw") {
    const lead = dice.of([0.005, 0.01, 0.016, 0.02, 0.032]);
    // Without the dice: the machines of the other tests stay what they are.
    return { kind, lead, ...(base.inertia > 1e-4 ? { check: screwFor(lead) } : {}), ...base };
  }
  if (kind === "lead-screw") return { kind, lead: dice.of([0.004, 0.006, 0.012]), ...base };
  if (kind === "rotary") return { kind, ...base };
  const radial = kind === "rollers" ? {} : { radialFactor: kind === "belt" ? 2 : 1 / Math.cos(Math.PI / 9) };
  return { kind, diameter: dice.between(0.04, 0.1), ...radial, ...base };
}

function loadOf(dice: Dice, kind: Kind): Load {
  if (kind === "rotary") {
    const imbalance = dice.maybe(0.5, () => dice.between(0.05, 1)) ?? 0;
    return {
      ...FREE,
      mass: dice.spread(0.02, 0.6),
      frictionForce: dice.between(0, 2),
      viscous: dice.of([0, dice.between(0, 0.3)]),
      force: dice.of([0, 0, dice.between(-2, 2)]),
      counterbalance: dice.of([0, 0, 0, dice.between(0, 2)]),
      imbalance,
      imbalanceAngle: dice.between(-1, 1),
      tilt: dice.of([Math.PI / 2, dice.between(0, Math.PI / 2)]),
    };
  }
  const incline = kind === "rollers" ? 0 : dice.of([0, 0, 0, Math.PI / 2, -Math.PI / 2, dice.between(-1, 1)]);
  const mass = dice.spread(2, 40);
  const weight = mass * G * Math.sin(incline);
  return {
    ...FREE,
    mass,
    incline,
    frictionForce: dice.between(0, 40),
    frictionCoefficient: dice.of([0, dice.between(0, 0.1)]),
    viscous: dice.of([0, dice.between(0, 30)]),
    force: dice.of([0, 0, 0, dice.between(-60, 60)]),
    counterbalance: dice.chance(0.3) ? weight * dice.between(0.2, 1.1) : 0,
  };
}

/** Scale of a move [m or rad] and of its time [s]. */
function moveOf(dice: Dice, distance: number, time: number, slim: { force: number; payload: number }): MoveSegment {
  const law = dice.of(LAWS);
  const base = { kind: "move" as const, distance, law, ...slim };
  if (dice.chance(0.3)) {
    // Limits that a move of about the wanted time would just meet.
    const s = Math.abs(distance);
    const maxSpeed = (s / time) * dice.between(1.3, 2.2);
    const maxAcceleration = (s / time ** 2) * dice.between(5, 9);
    if (law === "s-curve")
      return { ...base, maxSpeed, maxAcceleration, maxJerk: (s / time ** 3) * dice.between(40, 120) };
    const smooth = law === "cycloidal" || law === "polynomial-5" || law === "polynomial-7";
    const maxJerk = smooth ? dice.maybe(0.5, () => (s / time ** 3) * dice.between(40, 120)) : undefined;
    return { ...base, maxSpeed, maxAcceleration, ...(maxJerk === undefined ? {} : { maxJerk }) };
  }
  if (law !== "trapezoid" && law !== "s-curve") return { ...base, time };
  const shares =
    dice.maybe(0.5, () => ({ accelerate: dice.between(0.15, 0.5), decelerate: dice.between(0.15, 0.5) })) ?? {};
  return { ...base, time, ...shares, ...(law === "s-curve" ? { jerk: dice.of([0.25, dice.between(0.05, 0.5)]) } : {}) };
}

/** A list of segments that comes back to where it began, and about how long it takes at most [s]. */
function motionOf(dice: Dice, kind: Kind): Segment[] {
  const rotary = kind === "rotary";
  const extras = (): { force: number; payload: number } => ({
    force: dice.chance(0.2) ? dice.between(-1, 1) * (rotary ? 2 : 50) : 0,
    payload: dice.chance(0.3) ? (rotary ? dice.between(0, 0.2) : dice.between(0, 6)) : 0,
  });
  const dwell = (): Segment => ({ kind: "dwell", time: dice.between(0.1, 0.6), ...extras() });
  const reach =
    kind === "lead-screw"
      ? dice.between(0.02, 0.1)
      : kind === "ball-screw"
        ? dice.between(0.1, 0.4)
        : dice.between(0.2, 0.9);
  const distance = (rotary ? dice.between(0.5, 4) : reach) * dice.of([1, -1]);
  const time = dice.between(0.35, 0.9);
  const friction = dice.chance(0.1)
    ? { frictionForce: dice.between(0, 10), frictionCoefficient: dice.between(0, 0.05) }
    : {};
  const share = dice.chance(0.3) ? dice.between(0.2, 0.8) : 1;
  const there =
    share === 1
      ? [moveOf(dice, distance, time, extras())]
      : [moveOf(dice, distance * share, time, extras()), moveOf(dice, distance * (1 - share), time, extras())];
  return [...there, dwell(), { ...moveOf(dice, -distance, dice.between(0.35, 0.9), extras()), ...friction }];
}

function conveyor(dice: Dice): Segment[] {
  const speed = dice.between(0.2, 0.8) * dice.of([1, -1]);
  const plain = { force: 0, payload: 0 };
  const first: Segment = {
    kind: "run",
    speed,
    time: dice.between(0.65, 1.2),
    accelerateTime: dice.between(0.1, 0.3),
    decelerateTime: dice.between(0.1, 0.3),
    ...plain,
  };
  if (dice.chance(0.4)) return [first];
  const slow = speed * dice.between(-0.5, 0.6);
  const running: Segment = {
    kind: "run",
    speed: slow,
    time: 0.6,
    accelerateTime: 0.2,
    payload: dice.between(0, 5),
    force: 0,
  };
  return [{ ...running }, { ...first, time: 0.8 }];
}

function needsOf(dice: Dice, kind: Kind): Needs {
  const rotary = kind === "rotary";
  const ask = <T>(share: number, key: string, make: () => T): Partial<Record<string, T>> =>
    dice.chance(share) ? { [key]: make() } : {};
  const smooth = dice.chance(0.15)
    ? { smoothFrom: rotary ? dice.between(0.2, 1) : dice.between(0.02, 0.2), speedRipple: dice.spread(0.005, 0.2) }
    : {};
  return {
    torqueMargin: dice.of([0.15, 0, 0.2]),
    peakMargin: 0.1,
    speedMargin: 0.1,
    currentMargin: dice.of([0.1, 0]),
    brakeFactor: dice.of([2, 1.5]),
    inertiaRatio: dice.of([10, 10, 20, null]),
    rippleCurrent: dice.of([0.2, 0.2, 0.3]),
    voltageReserve: 0.1,
    commutationError: dice.of([0, 0, 0, dice.between(0, 0.3)]),
    gearboxShock: dice.of([1, 1, 1.3]),
    rejectUnknown: dice.chance(0.05),
    match: dice.chance(0.08) ? { "motor.shaft": ["key", "smooth"] } : {},
    relax: {},
    ...ask(0.15, "brake", () => dice.chance(0.5)),
    ...ask(0.15, "feedback", () =>
      dice.of([
        ["encoder-absolute", "encoder-multiturn", "resolver"],
        ["encoder-absolute", "encoder-incremental", "encoder-hall"],
      ]),
    ),
    ...ask(0.12, "backlash", () => (rotary ? dice.spread(1e-3, 6e-3) : dice.spread(2e-5, 2e-4))),
    ...ask(0.12, "detent", () => (rotary ? dice.spread(0.1, 3) : dice.spread(2, 80))),
    ...ask(0.12, "resolution", () => (rotary ? dice.spread(5e-5, 3e-3) : dice.spread(2e-7, 3e-5))),
    // Without the dice, as above.
    ...(smooth.speedRipple !== undefined && smooth.speedRipple < 0.1 ? { torqueRipple: 2 * smooth.speedRipple } : {}),
    ...(smooth.speedRipple === undefined ? {} : { bandwidth: rotary ? 6 : 12, resonanceFactor: 2 }),
    ...ask(0.06, "ip", () => ["IP65", "IP67"]),
    ...ask(0.06, "maxLength", () => dice.between(0.12, 0.25)),
    ...ask(0.06, "maxWidth", () => dice.between(0.06, 0.12)),
    ...smooth,
  };
}

const KINDS: readonly Kind[] = ["ball-screw", "ball-screw", "belt", "belt", "rack", "lead-screw", "rotary", "rollers"];
const CARRIERS: readonly Kind[] = ["ball-screw", "belt", "rack"];

/** A random axis; `start` is still 0 and the cycle is not known yet. */
export function randomAxis(dice: Dice, id: string, role: { carriedBy?: string; carries: boolean }): Axis {
  const kind = dice.of(role.carries ? CARRIERS : KINDS);
  const endless = kind === "rollers";
  return {
    id,
    bus: "main",
    start: 0,
    inCycle: true,
    endless,
    ...(role.carriedBy === undefined ? {} : { carriedBy: role.carriedBy }),
    mechanism: mechanismOf(dice, kind),
    load: loadOf(dice, kind),
    motion: endless ? conveyor(dice) : motionOf(dice, kind),
    needs: needsOf(dice, kind),
    allow: {
      gearless: dice.chance(0.85),
      ...(dice.chance(0.08) ? { ratios: [3, 8] as const } : {}),
      ...(dice.chance(0.06) ? { constructions: ["slotted", "closed-slot"] as const } : {}),
      ...(dice.chance(0.05) ? { gearboxKinds: ["inline"] as const } : {}),
      ...(dice.chance(0.05) ? { makers: ["Amaryl", "Borduin"] as const } : {}),
    },
  };
}
