import * as fc from "fast-check";
import { expect, test } from "vitest";
import type { Measured, TimeSeries } from "../../src/machine/mechanism.ts";
import type { Axis } from "../../src/machine/problem.ts";
import { dutyOf } from "../../src/physics/duty/duty.ts";
import { stopStretches } from "../../src/physics/duty/stops.ts";
import { judgePick } from "../../src/physics/limits/judge-pick.ts";
import { pickDuty } from "../../src/physics/limits/pick-duty.ts";
import { stopPieces } from "../../src/physics/power/stop-energy.ts";
import { axisOracle } from "../../src/verify/axis-oracle.ts";
import { busVoltage } from "../../src/verify/evaluate-pick.ts";
import { stoppedEnergy } from "../../src/verify/stop.ts";
import { plainDrive, plainGearbox, plainMotor, plainProblem } from "../oracle/plain-parts.ts";
import { anyLinked } from "../physics/any-linked.ts";
import { axisOf, cycleOfSample, dwell, follow, LOSSLESS, move, type Sample } from "../physics/sample-axis.ts";

const MOTOR = plainMotor({
  rotorInertia: 2e-4,
  frictionTorque: 0.02,
  windingTime: 1.5,
  detentTorque: 0.02,
  detents: 12,
});
const GEARBOX = plainGearbox({
  ratio: 6,
  efficiency: 0.94,
  backEfficiency: 0.9,
  dragTorque: 0.03,
  inertia: 2e-5,
  stiffness: 4e4,
});
const DRIVE = plainDrive({ lossPerAmp: 3, peakCurrent: 200, continuousCurrent: 60 });

/** Limits of one pick by the closed form and stepped through time, where they differ by more than rulings allow. */
function differences(sample: Sample & { cycle: number }): string[] {
  const asked = {
    inertiaRatio: 10,
    backlash: 1,
    detent: 10,
    resolution: 1,
    smoothFrom: 0.1,
    speedRipple: 1,
    bandwidth: 5,
  };
  const axis: Axis = axisOf({ ...sample, needs: { ...sample.needs, ...asked, brake: true } });
  const problem = plainProblem([axis], sample.cycle);
  const [machine] = problem.machines;
  if (machine === undefined) throw new Error("one machine");
  const parts = { motor: { ...MOTOR, resolution: 4096, brakeTorque: 1 }, gearbox: GEARBOX, drive: DRIVE };
  const stepped = axisOracle(problem, machine, axis, 800).simulate({ ...parts, inductor: null }, 0);
  const duty = dutyOf(axis, cycleOfSample(sample), { low: 0, high: 0 });
  const bus = busVoltage(problem.site, { id: "main" });
  const closed = judgePick(pickDuty(duty, { ...parts, inductor: undefined }, { site: problem.site, bus }));
  const found = closed.limits.flatMap(({ id, demand, allowed }) => {
    const other = stepped.limits.find((limit) => limit.id === id);
    if (other === undefined) return [`${id}: not stepped`];
    const room = 1e-3 * Math.max(demand, 0.01 * allowed);
    const isSame = Math.abs(other.demand - demand) <= room && Math.abs(other.allowed - allowed) <= 1e-3 * allowed;
    return isSame ? [] : [`${id}: ${demand} of ${allowed}, stepped ${other.demand} of ${other.allowed}`];
  });
  // How high the bus goes is a limit of the bus.
  const own = stepped.limits.filter(({ id }) => id !== "drive.bus_voltage");
  const missing = own.filter(({ id }) => !closed.limits.some((limit) => limit.id === id));
  return [...found, ...missing.map(({ id }) => `${id}: not in closed form`)];
}

test("cranks and winders stepped through time ask for what their closed forms say", () => {
  const kinds = new Map<string, number>();
  fc.assert(
    fc.property(anyLinked(), (sample) => {
      const mechanism = { ...sample.mechanism, stiffness: 2e5 };
      expect(differences({ ...sample, mechanism })).toEqual([]);
      kinds.set(mechanism.kind, (kinds.get(mechanism.kind) ?? 0) + 1);
    }),
    { seed: 21, numRuns: 100 },
  );
  expect(Math.min(kinds.get("crank") ?? 0, kinds.get("winder") ?? 0)).toBeGreaterThan(30);
});

const between = (min: number, max: number): fc.Arbitrary<number> =>
  fc.integer({ min: 0, max: 1000 }).map((step) => min + ((max - min) * step) / 1000);

/** Values over time, from 0 s on. */
function anySeries(size: number): fc.Arbitrary<TimeSeries> {
  return fc.array(fc.tuple(between(0.05, 0.4), between(-size, size)), { minLength: 2, maxLength: 6 }).map((rows) => {
    const times = rows.reduce<number[]>((all, [step]) => [...all, (all.at(-1) ?? 0) + step], [0]);
    return { times, values: [size / 3, ...rows.map(([, value]) => value)] };
  });
}

test("forces over time, of a load and of a segment, weigh the same stepped through time", () => {
  const start = fc.constantFrom(0, 0.3, 1.1);
  fc.assert(
    fc.property(anySeries(60), anySeries(40), start, (whole, own, from) => {
      const mechanism = {
        kind: "belt",
        diameter: 0.08,
        ...LOSSLESS,
        efficiency: 0.9,
        backEfficiency: 0.8,
        stiffness: 2e5,
      } as const;
      const motion = [
        move(0.3, { law: "polynomial-5", time: 0.8, forceTable: own }),
        dwell(0.3, { forceTable: own }),
        move(-0.3, { time: 0.6 }),
      ];
      const load = { mass: 4, frictionForce: 8, viscous: 3, incline: 0.4, forceTable: whole };
      expect(differences({ mechanism, load, motion, cycle: 2, start: from })).toEqual([]);
    }),
    { seed: 22, numRuns: 60 },
  );
});

test("measured shafts stepped through time ask for what their closed forms say", () => {
  fc.assert(
    fc.property(anySeries(30), anySeries(12), (speeds, torques) => {
      const speed = {
        times: speeds.times,
        values: speeds.values.map((value, k) => (k === 0 || k === speeds.values.length - 1 ? 0 : value)),
      };
      const torque = {
        times: speeds.times,
        values: speeds.times.map((_, k) => torques.values[k % torques.values.length] ?? 0),
      };
      const mechanism: Measured = {
        kind: "measured",
        file: "m.csv",
        speed,
        torque,
        ...LOSSLESS,
        inertia: 3e-3,
        stiffness: 2e5,
      };
      const cycle = (speed.times.at(-1) ?? 0) + 0.4;
      expect(differences({ mechanism, motion: [follow("velocity", speed)], cycle })).toEqual([]);
    }),
    { seed: 23, numRuns: 60 },
  );
});

/** Energies of stops from some instants, by the closed form and stepped, where they differ by more than the stepping can. */
function stopDifferences(sample: Sample & { cycle: number }): string[] {
  const time = 0.25;
  const axis = axisOf(sample);
  const cycle = cycleOfSample(sample);
  const problem = plainProblem([axis], sample.cycle);
  const [machine] = problem.machines;
  if (machine === undefined) throw new Error("one machine");
  const shaft = axisOracle(problem, machine, axis, 40).shaft(0);
  const pick = { motor: MOTOR, gearbox: GEARBOX, drive: DRIVE };
  const bus = busVoltage(problem.site, { id: "main" });
  const duty = dutyOf(axis, cycle, { low: 0, high: 0 });
  const closed = stopPieces(
    pickDuty(duty, { ...pick, inductor: undefined }, { site: problem.site, bus }),
    stopStretches({ axis, carried: 0, time }, cycle),
    time,
  );
  const count = shaft.speed.length;
  const nodes = Array.from({ length: 25 }, (_, k) => Math.floor(((k + 0.37) * count) / 25));
  const stepped = nodes.map((node) =>
    stoppedEnergy(axis, shaft, { ...pick, inductor: null }, { node, time, carried: 0 }),
  );
  const size = Math.max(...stepped.map(Math.abs));
  return nodes.flatMap((node, k) => {
    const { time: times, middle } = shaft.sampled.grid;
    const [t, inside] = [times[node] ?? 0, middle[node] ?? 0];
    const piece = closed.find(({ from, to }) => from <= inside && inside <= to);
    const [found, wanted] = [piece?.energy(t) ?? Number.NaN, stepped[k] ?? 0];
    return Math.abs(found - wanted) <= 5e-3 * size + 1e-9 ? [] : [`${t} s: ${found} J, stepped ${wanted} J`];
  });
}

test("emergency stops of cranks, winders and measured shafts give back the same, stepped through the stop", () => {
  fc.assert(
    fc.property(anyLinked(), (sample) => {
      const { mechanism } = sample;
      // A roll that a stop would wind off beyond its core is none.
      fc.pre(mechanism.kind !== "winder" || mechanism.startDiameter > 2 * mechanism.coreDiameter);
      expect(stopDifferences(sample)).toEqual([]);
    }),
    { seed: 24, numRuns: 25 },
  );
  const torque = { times: [0, 0.3, 0.8, 1.2], values: [2, 5, -3, 2] };
  const speed = { times: [0, 0.3, 0.8, 1.2], values: [20, 35, 10, 20] };
  const mechanism: Measured = { kind: "measured", file: "m.csv", speed, torque, ...LOSSLESS, inertia: 3e-3 };
  expect(stopDifferences({ mechanism, motion: [follow("velocity", speed)], cycle: 1.2 })).toEqual([]);
  const belt = { kind: "belt", diameter: 0.08, ...LOSSLESS, efficiency: 0.9, backEfficiency: 0.8 } as const;
  const forceTable = { times: [0, 0.4, 0.9], values: [10, -30, 40] };
  const motion = [move(0.3, { time: 0.6, forceTable }), dwell(0.2), move(-0.3, { time: 0.5, law: "cycloidal" })];
  const load = { mass: 5, incline: 1.2, frictionForce: 8, forceTable };
  expect(stopDifferences({ mechanism: belt, load, motion, cycle: 1.5, start: 0.7 })).toEqual([]);
});
