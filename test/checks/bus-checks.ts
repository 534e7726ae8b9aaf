import { type BusDemand, capacitorRoom, checkBus } from "../../src/decide/bus-check.ts";
import type { SupplyOption } from "../../src/decide/supply-options.ts";
import { supplyOverload } from "../../src/decide/supply-overload.ts";
import type { LimitId } from "../../src/machine/limit.ts";
import { stopStretches } from "../../src/physics/duty/stops.ts";
import { busPower } from "../../src/physics/power/bus-power.ts";
import { capacitorEnergy, capacitorVoltage } from "../../src/physics/power/capacitor-fall.ts";
import { extremes, shareOfMean } from "../../src/physics/power/coefficients.ts";
import { pairPower } from "../../src/physics/power/pair-power.ts";
import { type RideDown, rideDown } from "../../src/physics/power/ride-down.ts";
import { drawingPiece } from "../physics/drawing-piece.ts";
import { derived } from "../physics/reference.ts";
import { cycleOfSample, dutyOfSample, dwell, LOSSLESS, MILD_SITE, run, type Sample } from "../physics/sample-axis.ts";
import { driveWith, motorWith, pickOf, resistorWith, supplyWith } from "../physics/sample-parts.ts";
import { type Check, derivedValue } from "./check.ts";

const TEST = "physics/published-electrics.test.ts";
const HERE = "checks/checks.test.ts";
const PERIOD = 0.6;

/** 0.01 kg·m² up to 3000/min in 0.2 s, held, and stopped in 0.2 s, with 1.2 N·m/A and 1 Ω. */
function stopping() {
  const speed = 100 * Math.PI;
  const motion = [run(speed, PERIOD, { accelerateTime: 0.2, decelerateTime: 0.2 })];
  const motor = motorWith({ torqueConstant: 1.2, resistance: 1, windingLimit: 25, referenceAmbient: 20 });
  return pairPower(pickOf(dutyOfSample({ load: { mass: 0.01 }, motion }), { motor }));
}

/** Mean of the power below 0 over the stop: near standstill copper takes more than the shaft gives [W]. */
function returned(): number {
  const shaft = derived("BUS-2", "peak shaft braking power");
  return (shaft - derived("BUS-2", "copper loss during stop 1.5 I^2 R_LL")) ** 2 / shaft / 2;
}

function busLimit(id: LimitId, option: SupplyOption): number {
  const bus = busPower([{ pair: stopping(), lossPerAmp: 0 }], 0, PERIOD);
  const demand: BusDemand = { drawn: bus, braked: bus, billed: bus, modules: [driveWith({ capacitance: 400e-6 })] };
  const { limits } = checkBus(demand, option, { site: MILD_SITE, voltage: { low: 540, high: 560 }, margin: 0 });
  return limits.find((limit) => limit.id === id)?.demand ?? Number.NaN;
}

function capacitors(): Check[] {
  const way = { resistor: undefined, way: "capacitors" } as const;
  const shared = { supply: supplyWith({ capacitance: 600e-6, chopperVoltage: 780 }), ...way };
  const single = { supply: supplyWith({ capacitance: 1000e-6, chopperVoltage: 390 }), ...way };
  return [
    {
      ...derivedValue("BUS-1", "E=C/2(V2^2-V1^2)"),
      formula: "supply.regeneration, room: ½·C·(U₂² − U₁²), 560 to 780 V",
      unit: "J",
      ours: () => capacitorRoom(shared, [driveWith({ capacitance: 400e-6 })], { low: 0, high: 560 }),
      test: TEST,
    },
    {
      ...derivedValue("BUS-1", "E"),
      formula: "the same, 325 to 390 V",
      unit: "J",
      ours: () => capacitorRoom(single, [], { low: 0, high: 325 }),
      test: TEST,
    },
    {
      ...derivedValue("BUS-2", "energy returned to bus = Ek - Pcu*td"),
      formula: "a stop gives back ½·J·ω² less copper loss",
      unit: "J",
      ours: () => -shareOfMean(stopping(), [{ from: 0.4, to: PERIOD }]).base * PERIOD,
      test: TEST,
    },
    {
      id: "BUS-2",
      source: "derived, closed form",
      published: returned() * 0.2,
      tolerance: 1e-9,
      formula: "supply.regeneration, demand: ½·(T·ω − P_copper)²/(T·ω)·t, until copper takes more than the shaft gives",
      unit: "J",
      ours: () => busLimit("supply.regeneration", shared),
      test: HERE,
    },
    {
      id: "BUS-1",
      source: "derived, closed form",
      published: 400e-6,
      tolerance: 1e-9,
      formula: "supply.capacitance: ΣC of the drives",
      unit: "F",
      ours: () =>
        busLimit("supply.capacitance", {
          ...shared,
          supply: supplyWith({ chopperVoltage: 780, maxCapacitance: 1e-3 }),
        }),
      test: HERE,
    },
  ];
}

function powers(): Check[] {
  const shaft = derived("BUS-2", "peak shaft braking power");
  const copper = derived("BUS-2", "copper loss during stop 1.5 I^2 R_LL");
  const kinetic = derived("BUS-2", "E=J w^2/2");
  const resistor: SupplyOption = {
    supply: supplyWith({ chopperVoltage: 780 }),
    resistor: resistorWith({ resistance: derived("BUS-3", "R_max=V^2/P") }),
    way: "resistor",
  };
  const derivation = { source: "derived, closed form", tolerance: 1e-9, unit: "W", test: HERE, id: "BUS-2" };
  return [
    {
      ...derivation,
      formula: "supply.peak_power: T·ω + 1.5·I²·R_LL",
      published: shaft + copper,
      ours: () => busLimit("supply.peak_power", resistor),
    },
    {
      ...derivation,
      formula: "supply.continuous_power: mean of the power above 0",
      // The start, and the end of the stop.
      published: (kinetic + copper * 0.2 + (copper ** 2 / shaft / 2) * 0.2) / PERIOD,
      ours: () => busLimit("supply.continuous_power", resistor),
    },
    {
      ...derivation,
      formula: "resistor.peak_power: T·ω − 1.5·I²·R_LL",
      published: shaft - copper,
      ours: () => busLimit("resistor.peak_power", resistor),
    },
    {
      ...derivation,
      formula: "resistor.continuous_power: mean of the power below 0",
      published: returned() * (0.2 / PERIOD),
      ours: () => busLimit("resistor.continuous_power", resistor),
    },
    {
      ...derivation,
      formula: "copper loss over the start, beside the kinetic energy",
      published: kinetic + copper * 0.2,
      unit: "J",
      ours: () => shareOfMean(stopping(), [{ from: 0, to: 0.2 }]).base * PERIOD,
      test: TEST,
    },
    {
      id: "BUS-3",
      source: "derived, closed form",
      published: 780,
      tolerance: 1e-9,
      formula: "drive.bus_voltage: the chopper's where energy comes back",
      unit: "V",
      ours: () => busLimit("drive.bus_voltage", resistor),
      test: HERE,
    },
  ];
}

function resistors(): Check[] {
  const option: SupplyOption = {
    supply: supplyWith({ chopperVoltage: 780 }),
    resistor: resistorWith({ resistance: derived("BUS-3", "R_max=V^2/P") }),
    way: "resistor",
  };
  const bus = busPower([], 0, 1);
  const around = { site: MILD_SITE, voltage: { low: 540, high: 560 }, margin: 0 };
  const lowered = dutyOfSample({
    mechanism: { ...LOSSLESS, kind: "rack", diameter: 0.1, efficiency: 0.9, backEfficiency: 0.9 },
    load: { mass: 100, incline: Math.PI / 2 },
    motion: [run(-1, 2)],
  });
  return [
    {
      id: "BUS-3",
      source: "derived, closed form",
      published: 10_000,
      tolerance: 1e-9,
      formula: "resistor.peak_power, allowed: U²/R at 60.84 Ω",
      unit: "W",
      ours: () =>
        checkBus({ drawn: bus, braked: bus, billed: bus, modules: [] }, option, around).limits.find(
          ({ id }) => id === "resistor.peak_power",
        )?.allowed ?? Number.NaN,
      test: TEST,
    },
    {
      ...derivedValue("BUS-4", "steady regenerated power m g v eta"),
      formula: "lowering a weight gives back m·g·v·η",
      unit: "W",
      ours: () => -extremes(pairPower(pickOf(lowered)), 0).least,
      test: TEST,
    },
  ];
}

/** State of a supply's overload after twice its continuous power for so long, cold before [1]. */
function overload(time: number): number {
  const steps = [
    { from: 0, to: time, watts: 500 },
    { from: time, to: 6000, watts: 0 },
  ];
  const pieces = steps.map(({ from, to, watts }) => drawingPiece(from, to, () => watts));
  const bus = busPower([{ pair: { period: 6000, pieces }, lossPerAmp: 0 }], 0, 6000);
  const peakTime = derived("TH-2", "t=-tau ln(1-1/k^2)");
  const supply = supplyWith({ continuousPower: 250, peakPower: 500, peakTime });
  const option = { supply, resistor: undefined, way: "capacitors" } as const;
  const found = supplyOverload(bus, option, { site: MILD_SITE, margin: 0 });
  return found !== undefined && "demand" in found ? found.demand : Number.NaN;
}

function stops(): Check[] {
  const bus = busPower([], 1, 1);
  const demand: BusDemand = { drawn: bus, braked: bus, billed: bus, modules: [], stop: { energy: 200, time: 0 } };
  const supply = supplyWith({ capacitance: 1e-3, chopperVoltage: 780 });
  const option = { supply, resistor: resistorWith({ pulseEnergy: 80 }), way: "resistor" } as const;
  const around = { site: MILD_SITE, voltage: { low: 540, high: 560 }, margin: 0 };
  return [
    {
      id: "BUS-1",
      source: "derived, closed form",
      published: 200 - derived("BUS-1", "E=C/2(V2^2-V1^2)"),
      tolerance: 1e-9,
      formula: "resistor.stop_energy: what the capacitors do not take in of 200 J",
      unit: "J",
      ours: () =>
        checkBus(demand, option, around).limits.find(({ id }) => id === "resistor.stop_energy")?.demand ?? Number.NaN,
      test: "decide/stop-limit.test.ts",
    },
    {
      id: "TH-2",
      source: "derived, closed form",
      published: 4 * (1 - 0.75 ** 0.5),
      tolerance: 1e-9,
      formula: "supply.overload: half the peak time at twice the continuous power: 4·(1 − √(1 − 1/4))",
      unit: "1",
      ours: () => overload(derived("TH-2", "t=-tau ln(1-1/k^2)") / 2),
      test: "decide/supply-overload.test.ts",
    },
  ];
}

/** 8 kg on a radius of 50 mm, held by 1 Ω a phase at 1 N·m/A beside 20 W of drives [W]. */
const HELD_WATTS = 3 * (8 * 9.80665 * 0.05) ** 2 + 20;

/** 1000 µF at 780 V [J]. */
const FULL = capacitorEnergy(1e-3, 780);

/** A hanging axis at rest whose mains fail at 780 V on 1000 µF; its ramp of 0.1 s counts. */
function withoutMains(grip: number): RideDown {
  const mechanism = { ...LOSSLESS, kind: "belt", diameter: 0.1 } as const;
  const sample: Sample = { mechanism, load: { mass: 8, incline: Math.PI / 2 }, motion: [dwell(1)], cycle: 1 };
  const motor = motorWith({ resistance: 2, windingLimit: 25, referenceAmbient: 20 });
  const pick = pickOf(dutyOfSample(sample), { motor });
  const stretches = stopStretches({ axis: pick.duty.axis, carried: 0, time: 0.1 }, cycleOfSample(sample));
  return rideDown({
    inside: [{ pick, stretches, ramp: 0.1, hold: grip - 0.1 }],
    outside: [],
    period: 1,
    fixedLoss: 20,
    capacitors: { start: FULL, most: FULL, least: capacitorEnergy(1e-3, 560) },
  });
}

function mainsLoss(): Check[] {
  const taken = derived("BUS-1", "E=C/2(V2^2-V1^2)");
  const derivation = { source: "energy of a capacitor ½·C·U²; derived, closed form", tolerance: 1e-9, id: "BUS-1" };
  const test = "physics/power/ride-down.test.ts";
  return [
    {
      ...derivation,
      formula: "ride-down: lowest voltage √(U² − 2·P·t/C), 147.4 J drawn from 780 V",
      published: 560,
      unit: "V",
      ours: () => capacitorVoltage(1e-3, withoutMains(taken / HELD_WATTS).lowest),
      test,
    },
    {
      ...derivation,
      formula: "ride-down: control lost when ½·C·(U² − U_min²) is drawn",
      published: taken / HELD_WATTS,
      unit: "s",
      ours: () => withoutMains((2 * taken) / HELD_WATTS).lost ?? Number.NaN,
      test,
    },
  ];
}

/** Capacitors, power, resistor, stops, mains that fail. */
export function busChecks(): Check[] {
  return [...capacitors(), ...powers(), ...resistors(), ...stops(), ...mainsLoss()];
}
