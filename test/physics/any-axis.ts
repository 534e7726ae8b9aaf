import * as fc from "fast-check";
import { type Mechanism, SCREW_ENDS, type ScrewCheck } from "../../src/machine/mechanism.ts";
import { LAW_NAMES, type Load, type Segment } from "../../src/machine/problem.ts";
import { dwell, follow, LOSSLESS, move, NO_LOAD, run, type Sample } from "./sample-axis.ts";

const STEPS = 1_000_000;

/** Numbers on a fine grid: no case hangs on the smallest numbers a computer knows. */
export const between = (min: number, max: number): fc.Arbitrary<number> =>
  fc.integer({ min: 0, max: STEPS }).map((step) => min + ((max - min) * step) / STEPS);
const maybe = (value: fc.Arbitrary<number>): fc.Arbitrary<number> => fc.oneof(fc.constant(0), value);

/** What an axis is drawn from. */
export interface Spread {
  /** true: no friction, drag, viscosity or efficiency takes power. */
  readonly lossless?: boolean;
  /** true: forces that do not scale with mass are left out. */
  readonly massOnly?: boolean;
}

const KINDS = ["ball-screw", "lead-screw", "belt", "rack", "rollers", "rotary"] as const;

/** Every other screw with what its critical speed takes. */
function screwCheck(size: number): { check?: ScrewCheck } {
  const end = Math.floor(size * STEPS) % 8;
  const ends = SCREW_ENDS[end];
  return ends === undefined ? {} : { check: { diameter: 0.01 + size / 8, length: 0.3 + 10 * size, ends } };
}

function mechanism({ lossless = false }: Spread): fc.Arbitrary<Mechanism> {
  const losses = lossless
    ? fc.constant({ efficiency: 1, backEfficiency: 1, dragTorque: 0 })
    : fc.record({
        efficiency: between(0.3, 1),
        backEfficiency: between(-0.5, 0.95),
        dragTorque: maybe(between(0, 0.3)),
      });
  const rest = fc.record({ inertia: maybe(between(1e-6, 1e-3)), couplingInertia: maybe(between(1e-6, 1e-4)) });
  return fc.tuple(fc.constantFrom(...KINDS), between(0.004, 0.1), losses, rest).map(([kind, size, lost, given]) => {
    const stiffness = (kind === "rotary" ? 2e4 : 1e6) * size;
    const base = { ...LOSSLESS, ...lost, ...given, stiffness };
    if (kind === "ball-screw" || kind === "lead-screw") return { kind, lead: size, ...screwCheck(size), ...base };
    if (kind === "rotary") return { kind, ...base };
    return { kind, diameter: size, ...(size > 0.05 && kind !== "rollers" ? { radialFactor: 2 } : {}), ...base };
  });
}

function load(rotary: boolean, { lossless = false, massOnly = false }: Spread): fc.Arbitrary<Partial<Load>> {
  const friction = lossless || massOnly ? fc.constant(0) : maybe(between(0, 40));
  const push = massOnly ? fc.constant(0) : maybe(between(-60, 60));
  const incline = rotary ? fc.constant(0) : maybe(between(-Math.PI / 2, Math.PI / 2));
  return fc.record({
    mass: rotary ? between(0.01, 1) : between(0.5, 40),
    incline,
    frictionForce: friction,
    frictionCoefficient: lossless ? fc.constant(0) : maybe(between(0, 0.2)),
    viscous: lossless ? fc.constant(0) : maybe(between(0, 30)),
    force: push,
    counterbalance: push,
    imbalance: rotary ? maybe(between(0.01, 2)) : fc.constant(0),
    imbalanceAngle: between(-3, 3),
    tilt: between(0, Math.PI / 2),
  });
}

function segmentLoads(rotary: boolean, spread: Spread): fc.Arbitrary<{ force: number; payload: number }> {
  return fc.record({
    force: spread.massOnly === true ? fc.constant(0) : maybe(between(-40, 40)),
    payload: maybe(rotary ? between(0, 0.5) : between(0, 10)),
  });
}

/** There and back by moves of any law, standing in between. */
function thereAndBack(rotary: boolean, spread: Spread): fc.Arbitrary<Segment[]> {
  const law = fc.constantFrom(...LAW_NAMES);
  const shape = fc.record({ accelerate: between(0.05, 0.5), decelerate: between(0.05, 0.5), jerk: between(0, 0.5) });
  const carried = segmentLoads(rotary, spread);
  const leg = fc.tuple(law, between(0.1, 2), shape, carried);
  const distance = (rotary ? between(0.2, 20) : between(0.01, 1)).chain((size) => fc.constantFrom(size, -size));
  return fc.tuple(distance, leg, leg, fc.tuple(between(0.01, 1), carried)).map(([by, out, back, [pause, held]]) => {
    const legOf = (way: number, [name, time, given, weight]: typeof out): Segment =>
      move(way, { law: name, time, ...given, ...weight });
    return [legOf(by, out), dwell(pause, held), legOf(-by, back)];
  });
}

/** Runs that reverse through zero, as conveyors and turntables do. */
function reversing(rotary: boolean, spread: Spread): fc.Arbitrary<Segment[]> {
  const speed = rotary ? between(0.5, 20) : between(0.05, 2);
  return fc
    .tuple(speed, speed, between(0.1, 2), between(0.1, 2), segmentLoads(rotary, spread))
    .map(([on, back, ramp, held, weight]) => [
      run(on, ramp + held, { accelerateTime: ramp, ...weight }),
      run(-back, 1.5 * ramp + 2 * held, { accelerateTime: ramp, decelerateTime: ramp / 2, ...weight }),
    ]);
}

/** Rows of a table: how long each takes, and how far along a whole it stands; some stand where the row before does. */
function tableRows(): fc.Arbitrary<{ times: number[]; shares: number[] }> {
  const row = fc.tuple(between(0.05, 0.5), fc.oneof(fc.constant("same" as const), between(-1, 1)));
  const moving = fc
    .array(row, { minLength: 1, maxLength: 7 })
    .filter((rows) => rows.some(([, to]) => to !== "same" && to !== 0));
  return moving.map((rows) => {
    const [times, shares] = [[0], [0]];
    for (const [step, share] of rows) {
      times.push((times.at(-1) ?? 0) + step);
      shares.push(share === "same" ? (shares.at(-1) ?? 0) : share);
    }
    return { times, shares };
  });
}

/** Tables of positions, alone or with a dwell and a move back to the start, and of velocities, from rest to rest. */
function followed(rotary: boolean, spread: Spread): fc.Arbitrary<Segment[]> {
  const size = rotary ? between(0.2, 20) : between(0.01, 1);
  const way = fc.constantFrom("position" as const, "back" as const, "velocity" as const);
  return fc
    .tuple(tableRows(), size, way, segmentLoads(rotary, spread), between(0.05, 0.5))
    .map(([{ times, shares }, scale, kind, weight, pause]) => {
      const values = shares.map((share) => share * scale);
      const returned = { times: [...times, (times.at(-1) ?? 0) + pause], values: [...values, 0] };
      if (kind === "position") return [follow(kind, returned, weight)];
      if (kind === "velocity") return [follow(kind, returned, weight)];
      const left = values.at(-1) ?? 0;
      const back = left === 0 ? [] : [move(-left, { law: "cycloidal", time: 4 * pause })];
      return [follow("position", { times, values }, weight), dwell(pause), ...back];
    });
}

/** How long a segment given by times takes [s]. Source: definition. */
export function lengthOf(segment: Segment): number {
  return segment.kind === "follow" ? (segment.table.times.at(-1) ?? 0) : (segment.time ?? 0);
}

/** An axis with any mechanism, load and motion, in a cycle that may be longer than its motion and start anywhere. */
export function anySample(
  spread: Spread = {},
): fc.Arbitrary<Required<Pick<Sample, "mechanism" | "load" | "motion" | "start" | "cycle">>> {
  return mechanism(spread).chain((chosen) => {
    const rotary = chosen.kind === "rotary";
    const motion = fc.oneof(
      { weight: 3, arbitrary: thereAndBack(rotary, spread) },
      { weight: 1, arbitrary: reversing(rotary, spread) },
      { weight: 1, arbitrary: followed(rotary, spread) },
    );
    return fc
      .tuple(load(rotary, spread), motion, maybe(between(0, 2)), between(0, 3))
      .map(([given, segments, rest, start]) => ({
        mechanism: chosen,
        load: { ...NO_LOAD, ...given },
        motion: segments,
        cycle: segments.reduce((sum, segment) => sum + lengthOf(segment), 0) * (1 + 1e-12) + rest,
        start,
      }));
  });
}
