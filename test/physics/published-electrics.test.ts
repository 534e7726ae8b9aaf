import { describe, expect, test } from "vitest";
import { capacitorRoom, resistorRating } from "../../src/decide/bus-check.ts";
import { electricalFrequency, rippleCurrent } from "../../src/physics/limits/drive-limits.ts";
import { allowedVoltage, terminalVoltage } from "../../src/physics/limits/motor-limits.ts";
import {
  altitudeFactor,
  busVoltage,
  cabinetFactor,
  hotResistance,
  motorRating,
} from "../../src/physics/limits/rating.ts";
import { busPower, powerPeak } from "../../src/physics/power/bus-power.ts";
import { extremes, shareOfMean } from "../../src/physics/power/coefficients.ts";
import { pairPower } from "../../src/physics/power/pair-power.ts";
import { near, within } from "./near.ts";
import { derived, referenceRows } from "./reference.ts";
import { BARE_NEEDS, dutyOfSample, LOSSLESS, MILD_SITE, run } from "./sample-axis.ts";
import { driveWith, motorWith, pickOf, resistorWith, supplyWith } from "./sample-parts.ts";

const PER_MINUTE = (2 * Math.PI) / 60;

/** A motor at its rating, without derating. */
function rated(given: Parameters<typeof motorWith>[0]): Parameters<typeof terminalVoltage>[0] {
  const motor = motorWith(given);
  return { motor, rating: motorRating(motor, BARE_NEEDS, MILD_SITE), phaseInductance: motor.inductance / 2 };
}

const rectified = (mains: number, phases: 1 | 3) => busVoltage({ id: "main" }, { ...MILD_SITE, mains, phases });

/** cos δ of a motor's rating, from degrees. */
function alignmentAt(degrees: number): number {
  return motorRating(motorWith(), { ...BARE_NEEDS, commutationError: (degrees * Math.PI) / 180 }, MILD_SITE).alignment;
}

describe("motor and drive", () => {
  test.each([
    ["PMSM sinusoidal: Ke=1 V_LLrms/(rad/s)", 1],
    ["Ke=1 V_LLrms per krpm", 1 / (1000 * PER_MINUTE)],
  ] as const)(
    "KT-1: %s: the power the terminals take is the shaft's (derived: Kt = √3·Ke)",
    (name, voltageConstant) => {
      const torqueConstant = derived("KT-1", "Kt", name);
      const phase = rated({ torqueConstant, voltageConstant, resistance: 0, inductance: 0 });
      const [speed, torque] = [200, 1.7];
      const electric = Math.sqrt(3) * terminalVoltage(phase, speed, torque) * torque * phase.rating.currentPerTorque;
      expect(electric).toEqual(near(torque * speed, 1e-12));
    },
  );

  test("TH-1: copper gains resistance from 20 °C and 25 °C to 100 °C and 155 °C (derived; constant 234.5: IEC 60034-1, from memory)", () => {
    expect(hotResistance(1, 100) / hotResistance(1, 20)).toEqual(
      near(derived("TH-1", "R=R20(234.5+100)/(234.5+20)"), 1e-12),
    );
    expect(hotResistance(1, 155) / hotResistance(1, 20)).toEqual(near(derived("TH-1", "ratio", ";20->155"), 1e-12));
    expect(hotResistance(1, 155)).toEqual(near(derived("TH-1", "ratio", ";25->155"), 1e-12));
    expect(hotResistance(1, 26) - 1).toEqual(near(derived("TH-1", "1/(234.5+25)"), 1e-12));
  });

  test("VLIM-1: terminal voltage of a motor with flux 0.05 Wb and four pole pairs (derived from the dq equations)", () => {
    const torqueConstant = derived("KT-1", "Kt = 3/sqrt2 p lambda (rms)");
    const voltageConstant = derived("KT-1", "Ke_LLrms = sqrt(3/2) p lambda");
    const windingLimit = 25; // resistance as at 25 °C
    const phase = rated({
      poles: 8,
      torqueConstant,
      voltageConstant,
      resistance: 1,
      inductance: 0.008,
      windingLimit,
      referenceAmbient: 20,
    });
    const speed = 3000 * PER_MINUTE;
    const torque = derived("KT-1", "Kt = 3/2 p lambda (pk)") * 10; // 10 A peak
    const found = terminalVoltage(phase, speed, torque);
    expect(found).toEqual(near(derived("VLIM-1", "V_LL_rms"), 1e-12));
    expect(found / Math.sqrt(1.5)).toEqual(near(derived("VLIM-1", "V_phase_pk"), 1e-12));
    expect(allowedVoltage(derived("VLIM-1", "min DC bus (SVPWM) = sqrt3 V_ph_pk"), 0)).toEqual(near(found, 1e-12));
    expect(electricalFrequency(phase.motor, speed)).toEqual(near(derived("VLIM-1", "electrical frequency"), 1e-12));
  });

  test("INV-1: rectified mains (derived; the mean is used with three digits, 1.35)", () => {
    expect(rectified(400, 3).low).toEqual(near(derived("INV-1", "mean dc"), 0.0005));
    expect(rectified(400, 3).high).toEqual(near(derived("INV-1", "peak dc", "400 V;"), 1e-12));
    expect(rectified(230, 1).high).toEqual(near(derived("INV-1", "peak dc", "230 V"), 1e-12));
    expect(rectified(480, 3).high).toEqual(near(derived("INV-1", "peak dc", "480 V"), 1e-12));
    expect(allowedVoltage(1, 0)).toEqual(near(derived("INV-1", "ratio", "SVPWM"), 1e-12));
  });

  test("HALL-1: a commutation error takes its cosine off torque (derived)", () => {
    expect(alignmentAt(10)).toEqual(near(derived("HALL-1", "torque factor cos"), 1e-12));
    expect(alignmentAt(30)).toEqual(near(derived("HALL-1", "cos"), 1e-12));
  });

  test("drives lose 1 %/K above 40 °C and 1 % per 100 m above 1000 m (two drive manuals, read: 1500 m is 0.95)", () => {
    expect(altitudeFactor(1500)).toEqual(within(0.95, 1e-12));
    expect(altitudeFactor(1000)).toBe(1);
    expect(cabinetFactor({ ...MILD_SITE, cabinetAmbient: 50 })).toEqual(within(0.9, 1e-12));
    expect(cabinetFactor({ ...MILD_SITE, cabinetAmbient: 45, altitude: 1500 })).toEqual(within(0.95 ** 2, 1e-12));
  });
});

describe("ripple current", () => {
  // DERIVED numerically: shared/reference/physics/pwm_ripple.csv, five decimals.
  const unit = rippleCurrent(driveWith({ switchingFrequency: 1 }), 1, 1);

  test("space-vector modulation: ours is the worst row, and no row is above it", () => {
    const rows = referenceRows("pwm_ripple").filter((row) => row["modulation"] === "sv");
    expect(rows.length).toBe(12);
    expect(unit.rms).toEqual(within(Math.max(...rows.map((row) => Number(row["k_rms"]))), 5e-6));
    const peaks = rows.map((row) => Number(row["k_pp_max (dIpp=k*Vdc/(L*f))"]));
    expect(unit.peakToPeak).toEqual(within(Math.max(...peaks), 1.1e-5)); // the last row stands a hair below full modulation
  });

  test("space-vector modulation at full depth, stepped through here: 0.02515 and 1/6", () => {
    // Two-level bridge on an isolated star, zero vectors shared evenly; ripple of the volt-seconds about their mean.
    const depth = 1 / Math.sqrt(3);
    const [angles, steps] = [720, 2400];
    let [square, peakToPeak] = [0, 0];
    for (let k = 0; k < angles; k++) {
      const angle = (2 * Math.PI * (k + 0.5)) / angles;
      const wanted = [0, 1, 2].map((p) => depth * Math.cos(angle - (2 * Math.PI * p) / 3));
      const middle = (Math.max(...wanted) + Math.min(...wanted)) / 2;
      const duty = wanted.map((v) => 0.5 + v - middle);
      let current = 0;
      const trace: number[] = [];
      for (let s = 0; s < steps; s++) {
        const carrier = Math.abs((2 * (s + 0.5)) / steps - 1);
        const high = duty.map((d) => Number(d > carrier));
        const star = high.reduce((sum, h) => sum + h, 0) / 3;
        current += ((high[0] ?? 0) - star - (wanted[0] ?? 0)) / steps;
        trace.push(current);
      }
      const mean = trace.reduce((sum, value) => sum + value, 0) / steps;
      square += trace.reduce((sum, value) => sum + (value - mean) ** 2, 0) / steps / angles;
      peakToPeak = Math.max(peakToPeak, Math.max(...trace) - Math.min(...trace));
    }
    expect(unit.rms).toEqual(near(Math.sqrt(square), 0.002));
    expect(unit.peakToPeak).toEqual(near(peakToPeak, 0.003));
  });

  test("six-step with unipolar chopping: U/(4·L_LL·f), a triangle (derived, at half duty)", () => {
    const chopped = rippleCurrent(driveWith({ commutation: "six-step", switchingFrequency: 10_000 }), 300, 0.001);
    expect(chopped.peakToPeak).toEqual(near(300 / (4 * 0.002 * 10_000), 1e-12));
    expect(chopped.rms).toEqual(near(chopped.peakToPeak / Math.sqrt(12), 1e-12)); // RMS of a triangle
  });
});

describe("bus", () => {
  test("BUS-1: what capacitors take in (derived)", () => {
    const way = { resistor: undefined, way: "capacitors" } as const;
    const shared = { supply: supplyWith({ capacitance: 600e-6, chopperVoltage: 780 }), ...way };
    expect(capacitorRoom(shared, [driveWith({ capacitance: 400e-6 })], { low: 0, high: 560 })).toEqual(
      near(derived("BUS-1", "E=C/2(V2^2-V1^2)"), 1e-12),
    );
    const single = { supply: supplyWith({ capacitance: 1000e-6, chopperVoltage: 390 }), ...way };
    expect(capacitorRoom(single, [], { low: 0, high: 325 })).toEqual(near(derived("BUS-1", "E"), 1e-12));
    expect(capacitorRoom(single, [], { low: 0, high: 400 })).toBe(0);
  });

  test("BUS-2: 0.01 kg·m² stopped from 3000/min in 0.2 s (derived)", () => {
    const speed = 3000 * PER_MINUTE;
    const motion = [run(speed, 0.6, { accelerateTime: 0.2, decelerateTime: 0.2 })];
    const motor = motorWith({ torqueConstant: 1.2, resistance: 1, windingLimit: 25, referenceAmbient: 20 });
    const pick = pickOf(dutyOfSample({ load: { mass: 0.01 }, motion }), { motor });
    const power = pairPower(pick);
    const kinetic = derived("BUS-2", "E=J w^2/2");
    const shaft = derived("BUS-2", "peak shaft braking power");
    const copper = derived("BUS-2", "copper loss during stop 1.5 I^2 R_LL");
    const stop = shareOfMean(power, [{ from: 0.4, to: 0.6 }]).base * 0.6;
    expect(-stop).toEqual(near(derived("BUS-2", "energy returned to bus = Ek - Pcu*td"), 1e-9));
    const start = shareOfMean(power, [{ from: 0, to: 0.2 }]).base * 0.6;
    expect(start).toEqual(near(kinetic + copper * 0.2, 1e-9));
    const bus = busPower([{ pair: power, lossPerAmp: 0 }], 0, 0.6);
    expect(powerPeak(bus, -1).value).toEqual(near(shaft - copper, 1e-9));
    expect(powerPeak(bus, 1).value).toEqual(near(shaft + copper, 1e-9));
  });

  test("BUS-3: the chopper's power is U²/R (derived)", () => {
    const resistance = derived("BUS-3", "R_max=V^2/P");
    const option = {
      supply: supplyWith({ chopperVoltage: 780 }),
      resistor: resistorWith({ resistance }),
      way: "resistor",
    } as const;
    expect(resistorRating(option, MILD_SITE)?.peak ?? 0).toEqual(near(10_000, 1e-12));
  });

  test("BUS-4: 100 kg lowered at 1 m/s through 0.9 (derived: m·g·v·η)", () => {
    const mechanism = { ...LOSSLESS, kind: "rack", diameter: 0.1, efficiency: 0.9, backEfficiency: 0.9 } as const;
    const duty = dutyOfSample({ mechanism, load: { mass: 100, incline: Math.PI / 2 }, motion: [run(-1, 2)] });
    const { least } = extremes(pairPower(pickOf(duty)), 0);
    expect(-least).toEqual(near(derived("BUS-4", "steady regenerated power m g v eta"), 1e-12));
  });
});
