import type { Mechanism } from "../../src/machine/mechanism.ts";
import { meanSquareTorque } from "../../src/physics/limits/pick-duty.ts";
import { limitOf } from "../physics/limit-of.ts";
import { example } from "../physics/reference.ts";
import { dutyOfSample, dwell, LOSSLESS, move, run, type Sample } from "../physics/sample-axis.ts";
import { gearboxWith, motorWith, pickOf } from "../physics/sample-parts.ts";
import { REVERSING } from "../physics/samples.ts";
import { type Check, derivedValue, printedValue, recomputedValue } from "./check.ts";

const GEARS = "physics/published-mechanism.test.ts";
const DUTIES = "physics/published-duty.test.ts";
const PER_MINUTE = (2 * Math.PI) / 60;

/** A run that speeds up for a second at this acceleration, holds and slows down. */
const at = (acceleration: number): Pick<Sample, "motion"> => ({
  motion: [run(acceleration, 3, { accelerateTime: 1, decelerateTime: 1 })],
});

const torqueAt = (load: Sample["load"], ratio: number): number =>
  pickOf(dutyOfSample({ ...(load === undefined ? {} : { load }), ...at(20) }), {
    motor: motorWith({ rotorInertia: 1e-4 }),
    gearbox: gearboxWith({ ratio }),
  }).peakTorque.value;

/** Ratio of least torque, by golden section. */
const bestRatio = (load: Sample["load"]): number => {
  let [low, high] = [1, 200];
  for (let k = 0; k < 90; k++) {
    const [a, b] = [high - (high - low) / 1.618033988749895, low + (high - low) / 1.618033988749895];
    if (torqueAt(load, a) < torqueAt(load, b)) high = b;
    else low = a;
  }
  return (low + high) / 2;
};

function ratios(): Check[] {
  const [pure, loaded] = [{ mass: 0.09 }, { mass: 0.09, force: 2 }];
  return [
    {
      ...derivedValue("GEAR-1", "T_motor at i_opt = 2 alpha sqrt(JL Jm)"),
      formula: "least torque of a pure inertia: 2·α·√(J_L·J_M)",
      unit: "N*m",
      ours: () => torqueAt(pure, 30),
      test: GEARS,
    },
    {
      ...derivedValue("GEAR-1", "i_opt", "", 1e-6),
      formula: "ratio of least torque, √(J_L/J_M), found by search",
      unit: "1",
      ours: () => bestRatio(pure),
      test: GEARS,
    },
    {
      ...derivedValue("GEAR-1", "T(1.5 i_opt)/T(i_opt)"),
      formula: "1.5 times that ratio: (k + 1/k)/2",
      unit: "1",
      ours: () => torqueAt(pure, 45) / torqueAt(pure, 30),
      test: GEARS,
    },
    {
      ...derivedValue("GEAR-2", "i_opt", "", 1e-6),
      formula: "with a load torque: √((J_L·α + T)/(J_M·α)), found by search",
      unit: "1",
      ours: () => bestRatio(loaded),
      test: GEARS,
    },
  ];
}

function hoists(): Check[] {
  const geared = dutyOfSample({
    mechanism: { ...LOSSLESS, kind: "rotary", inertia: 1e4 },
    load: { mass: 100 },
    ...at(0.1),
  });
  const drum: Mechanism = { ...LOSSLESS, kind: "rollers", diameter: 0.4, inertia: 10 };
  const parts = { motor: motorWith({ rotorInertia: 0.8 }), gearbox: gearboxWith({ ratio: 5 }) };
  const hoist = dutyOfSample({ mechanism: drum, load: { mass: 70, force: 70 * 9.81 }, ...at(1) });
  const omega = 1420 * PER_MINUTE;
  const turned = dutyOfSample({ load: { mass: 10, force: 10 }, motion: [run(omega / 10, 1)] });
  const rope: Mechanism = { ...LOSSLESS, kind: "rollers", diameter: 3 / omega, efficiency: 0.85 };
  const lifted = dutyOfSample({ mechanism: rope, load: { mass: 1000, force: 9810 }, motion: [run(1.5, 1)] });
  const both = (): number =>
    pickOf(turned, { gearbox: gearboxWith({ ratio: 10, efficiency: 0.9 }) }).peakTorque.value +
    pickOf(lifted).peakTorque.value;
  return [
    {
      ...printedValue("W4", Number(example("W4").printed), 1e-9),
      formula: "inertia at the motor: I_M + I_P + n²·I_P + I_L/n²",
      unit: "(as given)",
      ours: () =>
        pickOf(geared, { motor: motorWith({ rotorInertia: 10 }), gearbox: gearboxWith({ ratio: 10, inertia: 1 }) })
          .peakTorque.value, // at 1 rad/s² of the motor
      test: GEARS,
    },
    {
      ...printedValue("W5", Number(example("W5").printed), 1e-3),
      formula: "hoist speeding up: m·(g + a)·r/i + ΣJ·α",
      unit: "N*m",
      ours: () => pickOf(hoist, parts).peakTorque.value,
      test: GEARS,
    },
    {
      ...printedValue("W7", 117.53, 1e-5),
      formula: "a geared and a lifted load on one motor: T/(i·η) + F·v/(ω·η)",
      unit: "N*m",
      ours: both,
      test: GEARS,
    },
    {
      ...recomputedValue("W7"),
      formula: "their inertia at the motor: J₀ + J₁/i² + m·(v/ω)²",
      unit: "kg*m^2",
      ours: () => 0.2 + turned.largestInertia / 100 + lifted.largestInertia,
      test: GEARS,
    },
  ];
}

function backlash(): Check[] {
  const gearbox = { ratio: 5, backlash: (3 * Math.PI) / 180 / 60 };
  const lost = (mechanism: Mechanism): number =>
    1000 *
    limitOf("gearbox.backlash", { mechanism, needs: { backlash: 1 }, motion: [move(1, { time: 1 })] }, { gearbox })
      .demand;
  return [
    {
      ...derivedValue("GEAR-4", "lost motion"),
      formula: "gearbox.backlash: angle × r",
      unit: "mm",
      ours: () => lost({ ...LOSSLESS, kind: "belt", diameter: 0.05 }),
      test: GEARS,
    },
    {
      ...derivedValue("GEAR-4", "lost motion at screw"),
      formula: "gearbox.backlash: angle × lead/2π",
      unit: "mm",
      ours: () => lost({ ...LOSSLESS, kind: "ball-screw", lead: 0.01 }),
      test: GEARS,
    },
  ];
}

/** Two steps of torque at one speed, in tens of minutes. */
const steps = (...loads: readonly (readonly [torque: number, minutes: number])[]): Sample => ({
  motion: loads.map(([force, minutes]) => run(1, 60 * minutes, { force })),
});

function rmsTorques(): Check[] {
  const ramps = { accelerateTime: 0.1, decelerateTime: 0.1 };
  const shared = dutyOfSample({ load: { mass: 4, frictionForce: 1 }, motion: [run(0.1, 0.5, ramps), dwell(0.5)] });
  const reversing = dutyOfSample(REVERSING);
  const ramped = dutyOfSample({
    motion: [
      run(1, 300, { forceTable: { times: [0, 300], values: [0, 400] } }),
      run(1, 300, { force: 500 }),
      run(1, 240, { force: -400 }),
      run(1, 120),
    ],
  });
  return [
    {
      ...derivedValue("RMS-1", "T_rms"),
      formula: "RMS torque √(Σ T²·t/Σ t)",
      unit: "N*m",
      ours: () => pickOf(shared, { motor: motorWith({ rotorInertia: 1 }) }).rmsTorque,
      test: DUTIES,
    },
    {
      ...recomputedValue("W9", 0, 1e-8),
      formula: "torque of reversing, J·Δω/t",
      unit: "N*m",
      ours: () => pickOf(reversing).peakTorque.value,
      test: DUTIES,
    },
    {
      ...recomputedValue("W9", 1, 1e-9),
      formula: "RMS torque of the reversing cycle",
      unit: "N*m",
      ours: () => pickOf(reversing).rmsTorque,
      test: DUTIES,
    },
    {
      ...recomputedValue("W10", 0, 1e-8),
      formula: "RMS with a ramp, which counts (a² + ab + b²)/3",
      unit: "N*m",
      ours: () => pickOf(ramped).rmsTorque,
      test: "checks/checks.test.ts",
    },
    {
      ...recomputedValue("W11", 0, 1e-8),
      formula: "RMS of two steps: 100·√2",
      unit: "N*m",
      ours: () => pickOf(dutyOfSample(steps([200, 10], [100, 20]))).rmsTorque,
      test: DUTIES,
    },
    factorMethod(),
  ];
}

const loadTorque = (a: number): number => 0.09 * a + 2;

/** Least heat at the ratio the factor method gives, ⟨τ²⟩/J_M = β. */
function factorMethod(): Check {
  // 0.09 kg·m² and 2 N·m, up to 3 rad/s in 0.4 s, 0.5 s held, down in 0.3 s, 0.8 s of rest under load.
  const motion = [run(3, 1.2, { accelerateTime: 0.4, decelerateTime: 0.3 }), dwell(0.8)];
  const duty = dutyOfSample({ load: { mass: 0.09, force: 2 }, motion });
  const [up, down] = [7.5, -10];
  const rmsAcceleration = Math.sqrt((up ** 2 * 0.4 + down ** 2 * 0.3) / 2);
  const rmsTorque = Math.sqrt((loadTorque(up) ** 2 * 0.4 + loadTorque(down) ** 2 * 0.3 + 4 * 1.3) / 2);
  const meanProduct = (up * loadTorque(up) * 0.4 + down * loadTorque(down) * 0.3) / 2;
  const rotor = 1e-4;
  const best = Math.sqrt((rotor * rmsAcceleration) / rmsTorque);
  return {
    id: "factor method",
    formula: "β = 2·(ω'_rms·T_rms + ⟨ω'·T⟩): least T²/J of a motor at any ratio",
    source:
      "H. Giberti, S. Cinquemani, G. Legnani, The Role of the Gearbox in an Automatic Machine (InTech 2012), 4.2 (read in part)",
    published: 2 * (rmsAcceleration * rmsTorque + meanProduct),
    unit: "W/s",
    ours: () => meanSquareTorque(duty, { inertia: rotor / best, flow: [best, best, best], drag: 0 }) / rotor,
    tolerance: 1e-9,
    test: DUTIES,
  };
}

function equivalentTorques(): Check[] {
  const jump = { accelerateTime: 1e-9 }; // speed cannot jump
  const duty = dutyOfSample({
    motion: [
      run(1000 * PER_MINUTE, 0.1, { ...jump, force: 40 }),
      run(1500 * PER_MINUTE, 0.3, { ...jump, force: 20 }),
      run(1000 * PER_MINUTE, 0.1, { ...jump, decelerateTime: 1e-9, force: 35 }),
      dwell(0.5, { force: 35 }),
    ],
  });
  const mott = dutyOfSample(steps([650, 30], [750, 10], [250, 20]));
  return [
    {
      ...printedValue("W19", Number(example("W19").printed), 1e-3),
      formula: "gearbox.mean_torque: cubic mean at one speed",
      unit: "lbf",
      ours: () => mott.equivalentTorque,
      test: DUTIES,
    },
    {
      ...recomputedValue("W19", 0, 1e-8),
      formula: "the same",
      unit: "lbf",
      ours: () => mott.equivalentTorque,
      test: DUTIES,
    },
    {
      ...derivedValue("GEAR-3", "T2m", "", 1e-7),
      formula: "gearbox.mean_torque: (Σ n·t·T³/Σ n·t)^(1/3)",
      unit: "N*m",
      ours: () => duty.equivalentTorque,
      test: DUTIES,
    },
    {
      ...derivedValue("GEAR-3", "n_mean over cycle", "", 1e-7),
      formula: "gearbox.mean_speed: Σ n·t over the whole cycle",
      unit: "rpm",
      ours: () => duty.meanSpeed / PER_MINUTE,
      test: DUTIES,
    },
  ];
}

/** Gears and ratios, RMS torque, equivalent torque. */
export function torqueChecks(): Check[] {
  return [...ratios(), ...hoists(), ...backlash(), ...rmsTorques(), ...equivalentTorques()];
}
