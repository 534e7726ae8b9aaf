import type { Mechanism } from "../../src/machine/mechanism.ts";
import type { Axis, LawName, Load, Segment } from "../../src/machine/problem.ts";
import { PLAIN_SHAFT, plainAxis, plainLoad } from "./plain-parts.ts";

/** A record, so that a law left out does not compile. */
const EVERY_LAW: Readonly<Record<LawName, true>> = {
  trapezoid: true,
  triangle: true,
  "s-curve": true,
  harmonic: true,
  cycloidal: true,
  "modified-trapezoid": true,
  "modified-sine": true,
  "polynomial-5": true,
  "polynomial-7": true,
};
const LAWS = Object.keys(EVERY_LAW) as LawName[];
const CYCLE = 2.5;
const KINDS = ["ball-screw", "lead-screw", "belt", "rack", "rollers", "rotary"] as const;
const still = { force: 0, payload: 0 };

function mechanism(kind: (typeof KINDS)[number]): Mechanism {
  const own = { ...PLAIN_SHAFT, inertia: 3e-4, dragTorque: 0.05 };
  if (kind === "ball-screw" || kind === "lead-screw") return { kind, lead: 0.016, ...own };
  if (kind === "rotary") return { kind, ...own };
  return { kind, diameter: 0.05, ...own };
}

function load(kind: (typeof KINDS)[number], n: number): Load {
  const friction = { mass: 3, frictionForce: 2, viscous: 1.5 };
  if (kind === "rotary") return plainLoad({ ...friction, imbalance: 0.3, imbalanceAngle: 0.4, tilt: 1.1 });
  return plainLoad({
    ...friction,
    frictionCoefficient: 0.05,
    incline: n % 2 === 0 ? 0 : 0.7,
    counterbalance: 4 * (n % 3),
  });
}

/** Out in a given time and back by limits, with a constant force and other friction on the way. */
function outAndBack(law: LawName, n: number): Segment[] {
  const jumps = law === "trapezoid" || law === "triangle" || law === "harmonic";
  const shares = law === "trapezoid" || law === "s-curve" ? { accelerate: 0.25, decelerate: 0.4 } : {};
  return [
    { kind: "move", distance: 0.4, law, time: 0.7, ...shares, ...still },
    { kind: "dwell", time: 0.2, ...still },
    {
      kind: "move",
      distance: -0.4,
      law,
      maxSpeed: 0.9,
      maxAcceleration: 6,
      ...(jumps ? {} : { maxJerk: 80 }),
      ...still,
      ...(n % 2 === 0 ? { frictionForce: 5 } : {}),
    },
  ];
}

/** Runs forward, faster, through a reversal and back to the start. */
const RUNS: readonly Segment[] = [
  { kind: "run", speed: 0.4, time: 0.5, accelerateTime: 0.1, ...still },
  { kind: "run", speed: -0.4, time: 0.8, accelerateTime: 0.2, decelerateTime: 0.1, ...still },
];

/** Axes of every mechanism under every law, starts within the cycle and wrapped: loss-free but for friction and drag. */
export function sampleAxes(): { readonly axis: Axis; readonly cycle: number }[] {
  const moving = KINDS.flatMap((kind, k) =>
    LAWS.map((law, n) =>
      plainAxis(mechanism(kind), load(kind, n), outAndBack(law, n), {}, { start: ((k + n) % 5) * 0.5 }),
    ),
  );
  const running = plainAxis(mechanism("rollers"), load("rollers", 0), RUNS, {}, { start: 1.9, endless: true });
  return [...moving, running].map((axis) => ({ axis, cycle: CYCLE }));
}
