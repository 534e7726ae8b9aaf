import * as fc from "fast-check";
import { expect, test } from "vitest";
import type { Motor } from "../../../src/machine/catalogue.ts";
import { rampTime } from "../../../src/physics/duty/ramp.ts";
import { stopStretches } from "../../../src/physics/duty/stops.ts";
import { type Capacitors, capacitorEnergy, capacitorVoltage } from "../../../src/physics/power/capacitor-fall.ts";
import { type DyingBus, type RideDown, type Rider, rideDown } from "../../../src/physics/power/ride-down.ts";
import { derivedCase } from "../../oracle/reference-table.ts";
import { anySample, between } from "../any-axis.ts";
import { near } from "../near.ts";
import { cycleOfSample, dutyOfSample, dwell, LOSSLESS, move, run, type Sample } from "../sample-axis.ts";
import { driveWith, gearboxWith, motorWith, pickOf } from "../sample-parts.ts";

const G = 9.80665;
const C = 1e-3;
/** A phase of 1 Ω and 1 N·m/A: 3 W hold 1 N·m. */
const COLD: Partial<Motor> = { resistance: 2, windingLimit: 25, referenceAmbient: 20, torqueConstant: 1 };
const BELT = { ...LOSSLESS, kind: "belt", diameter: 0.1 } as const;
/** 8 kg on a radius of 50 mm. */
const HELD = 8 * G * 0.05;

interface Riding {
  readonly sample: Sample;
  readonly ramp: number;
  readonly hold?: number;
  readonly motor?: Partial<Motor>;
}

function riderOf({ sample, ramp, hold, motor = COLD }: Riding): Rider {
  const pick = pickOf(dutyOfSample(sample), { motor: motorWith({ ratedTorque: 1, ...motor }) });
  const stretches = stopStretches({ axis: pick.duty.axis, carried: 0, time: ramp }, cycleOfSample(sample));
  return { pick, ramp, stretches, ...(hold === undefined ? {} : { hold }) };
}

/** Capacitors from one voltage, filled up to another, the drives giving up below a third [V]. */
const between3 = (start: number, most: number, least: number, capacitance = C): Capacitors => ({
  start: capacitorEnergy(capacitance, start),
  most: capacitorEnergy(capacitance, most),
  least: capacitorEnergy(capacitance, least),
});

const busOf = (inside: readonly Rider[], capacitors: Capacitors, rest: Partial<DyingBus> = {}): DyingBus => ({
  inside,
  outside: [],
  period: 1,
  fixedLoss: 0,
  capacitors,
  ...rest,
});

const standing = (hold: number | undefined, load: Sample["load"] = {}, cycle = 1): Rider =>
  riderOf({
    sample: { mechanism: BELT, load: { mass: 8, incline: Math.PI / 2, ...load }, motion: [dwell(cycle)], cycle },
    ramp: 0.1,
    ...(hold === undefined ? {} : { hold }),
  });

/** ½·C·(U₂² − U₁²) between 560 V and 780 V at 1000 µF. */
const ROOM = derivedCase("BUS-1", "E=C/2");

test("drawing 147.4 J takes 1000 µF from 780 V to 560 V (BUS-1, derived; energy of a capacitor ½·C·U²)", () => {
  // Held by 3 Ω·(m·g·r)² of copper and 20 W of drives, until just that is drawn.
  const watts = 3 * HELD ** 2 + 20;
  const time = ROOM / watts;
  const bus = busOf([standing(time - 0.1)], between3(780, 780, 500), { fixedLoss: 20 });
  const down = rideDown(bus);
  expect(capacitorVoltage(C, down.lowest)).toEqual(near(560, 1e-12));
  expect(down.at).toEqual(near(time, 1e-12));
  expect(down.lost).toBeUndefined();
  // Where the drives need 560 V and the brake closes later, control is lost at that very time.
  const later = rideDown({ ...bus, inside: [standing(2 * time)], capacitors: between3(780, 780, 560) });
  expect(later.lost).toEqual(near(time, 1e-12));
});

test("what no brake ever grips empties the capacitors; what holds itself does not", () => {
  const forever = rideDown(busOf([standing(Infinity)], between3(780, 780, 560)));
  expect(forever.lowest).toBe(Number.NEGATIVE_INFINITY);
  expect(forever.lost).toEqual(near(ROOM / (3 * HELD ** 2), 1e-12));
  const balanced = rideDown(busOf([standing(Infinity, { counterbalance: 8 * G })], between3(780, 780, 560)));
  expect(balanced.lost).toBeUndefined();
  expect(capacitorVoltage(C, balanced.lowest)).toEqual(near(780, 1e-12));
});

test("an axis is held until its own brake grips, and only what hangs is held", () => {
  const [early, late, free] = [standing(0.1), standing(0.4), standing(undefined)];
  const watts = 3 * HELD ** 2;
  const down = rideDown(busOf([early, late, free], between3(780, 780, 0)));
  // In the ramp of 0.1 s each holds what pulls at it.
  expect(down.lowest).toEqual(near(capacitorEnergy(C, 780) - watts * (3 * 0.1 + 0.1 + 0.4), 1e-12));
});

test("mains fail at the worst instant: while it stands, not while a flywheel can give back its 493.5 J (BUS-2, derived)", () => {
  const top = (3000 * 2 * Math.PI) / 60;
  const flywheel = riderOf({
    sample: { load: { mass: 0.01 }, motion: [run(top, 1, { accelerateTime: 0.2, decelerateTime: 0.2 })], cycle: 2 },
    ramp: 0.2,
    motor: { resistance: 0 },
  });
  const down = rideDown(busOf([flywheel, standing(0.3, {}, 2)], between3(780, 900, 0), { period: 2 }));
  const watts = 3 * HELD ** 2;
  expect(down.lowest).toEqual(near(capacitorEnergy(C, 780) - watts * 0.4, 1e-9));
  expect(down.time === 0 || down.time >= 1).toBe(true);
  // Where it always turns, all of its kinetic energy comes back, and the drives take more.
  const spinning = riderOf({
    sample: { load: { mass: 0.01 }, motion: [run(top, 1)], cycle: 1 },
    ramp: 0.2,
    motor: { resistance: 0 },
  });
  const drained = 2 * derivedCase("BUS-2", "E=J w^2/2");
  const hungry = { ...spinning, hold: 1 };
  const rich = rideDown(busOf([hungry], between3(780, 5000, 0), { fixedLoss: drained }));
  expect(rich.at).toEqual(near(1.2, 1e-9));
  expect(rich.lowest).toEqual(near(capacitorEnergy(C, 780) + drained / 2 - drained * 1.2, 1e-6));
  // What a chopper burns is not there afterwards: of 493.5 J in 0.2 s it leaves nothing that lifts the bus.
  const burnt = rideDown(busOf([hungry], between3(780, 780, 0), { fixedLoss: 1 }));
  expect(burnt.lowest).toBeLessThan(capacitorEnergy(C, 780) - 0.99);
  expect(burnt.lowest).toBeGreaterThan(capacitorEnergy(C, 780) - 1.2);
});

test("without an emergency stop an axis takes from its highest speed what its hardest ramp would: thirds of 0.9 s, 0.3 s", () => {
  const sample = { mechanism: BELT, load: { mass: 1 }, motion: [move(0.3, { time: 0.9 }), dwell(1)] };
  expect(rampTime([dutyOfSample(sample)])).toEqual(near(0.3, 1e-9));
  const slower = { ...sample, motion: [move(0.3, { time: 1.8 })] };
  expect(rampTime([dutyOfSample(sample), dutyOfSample(slower)])).toEqual(near(0.6, 1e-9));
  expect(rampTime([dutyOfSample({ motion: [dwell(1)] }), dutyOfSample({ motion: [run(3, 1)] })])).toBe(0);
});

/** Any axis that hangs on its drive for a while, on capacitors of some size. */
function fallen(
  sample: Sample,
  { hold, ramp, capacitance }: { hold: number; ramp: number; capacitance: number },
): RideDown & { voltage: number } {
  const gearbox = gearboxWith({ ratio: 4, efficiency: 0.9, backEfficiency: 0.8, inertia: 1e-5, dragTorque: 0.02 });
  const motor = motorWith({ rotorInertia: 2e-4, resistance: 1, frictionTorque: 0.03, ratedTorque: 0.8 });
  const pick = pickOf(dutyOfSample(sample), { motor, gearbox, drive: driveWith({ lossPerAmp: 2 }) });
  const stretches = stopStretches({ axis: pick.duty.axis, carried: 0, time: ramp }, cycleOfSample(sample));
  const capacitors = between3(500, 780, 280, capacitance);
  const down = rideDown(
    busOf([{ pick, ramp, stretches, hold }], capacitors, { period: pick.duty.period, fixedLoss: 10 }),
  );
  return { ...down, voltage: capacitorVoltage(capacitance, down.lowest) };
}

test("more capacitance never lowers the voltage nor brings the loss of control forward; a later brake never helps", () => {
  let lost = 0;
  fc.assert(
    fc.property(anySample(), between(0.01, 0.4), between(0.02, 0.3), between(1.1, 5), (sample, hold, ramp, factor) => {
      const base = fallen(sample, { hold, ramp, capacitance: 1e-4 });
      const more = fallen(sample, { hold, ramp, capacitance: 1e-4 * factor });
      const later = fallen(sample, { hold: hold * factor, ramp, capacitance: 1e-4 });
      expect(more.voltage).toBeGreaterThanOrEqual(base.voltage * (1 - 1e-6));
      expect(more.lost ?? Infinity).toBeGreaterThanOrEqual((base.lost ?? Infinity) * (1 - 1e-6));
      expect(later.voltage).toBeLessThanOrEqual(base.voltage * (1 + 1e-6));
      if (base.lost !== undefined) lost += 1;
    }),
    { seed: 81, numRuns: 60 },
  );
  expect(lost).toBeGreaterThan(5);
});
