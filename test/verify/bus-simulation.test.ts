import { expect, test } from "vitest";
import type { Supply } from "../../src/machine/catalogue.ts";
import { type BusRun, simulateBus } from "../../src/verify/bus-simulation.ts";
import type { Grid } from "../../src/verify/motion.ts";
import { plainSupply } from "../oracle/plain-parts.ts";
import { derivedCase } from "../oracle/reference-table.ts";

const PERIOD = 1;
const NODES = 1001;
const grid: Grid = {
  period: PERIOD,
  time: Float64Array.from({ length: NODES }, (_, k) => k / (NODES - 1)),
  weight: new Float64Array(NODES).fill(1 / NODES),
  middle: new Float64Array(NODES),
};

/** Runs a bus of 1000 µF above 560 V with a power that depends on time [W]. */
function runOf(power: (t: number) => number, own: Partial<Supply> = {}, brakes = false): BusRun {
  const supply = plainSupply({ capacitance: 400e-6, chopperVoltage: 780, ...own });
  return simulateBus(grid.time.map(power), grid, { supply, capacitance: 1000e-6, floor: 560, brakes });
}

/** Back for half of the cycle, and more than that drawn [W]. */
const backAndForth = (t: number): number => (t < 0.5 ? -1000 : 1200);

const mean = (values: Float64Array): number => values.reduce((sum, value) => sum + value, 0) / (NODES - 1);

test("147.4 J lift 1000 µF from 560 V to 780 V (BUS-1, derived), and come back before the supply gives anything", () => {
  const energy = derivedCase("BUS-1", "E=C/2");
  // Given back over the second tenth of the cycle, drawn over the fourth and longer.
  const power = (t: number): number => (t > 0.1 && t <= 0.2 ? -energy / 0.1 : t > 0.3 && t <= 0.5 ? energy / 0.1 : 0);
  const run = runOf(power);
  expect(run.figures.voltage).toBeCloseTo(780, 3);
  expect(run.figures.stored).toBeCloseTo(energy, 6);
  expect(run.figures.supplyMean).toBeCloseTo(energy, 6);
  expect(run.supplied.slice(0, 395).every((watts) => watts === 0)).toBe(true);
  expect(run.figures.brakeMean).toBe(0);
  expect(run.voltage[0]).toBeCloseTo(560, 9);
});

test("the chopper holds its threshold, and what comes in goes out again", () => {
  const run = runOf(backAndForth, {}, true);
  expect(run.figures.voltage).toBeCloseTo(780, 9);
  expect(run.figures.brakePeak).toBeCloseTo(1000, 6);
  const drawn = mean(grid.time.slice(1).map((t, k) => (backAndForth(t) + backAndForth(grid.time[k] ?? 0)) / 2));
  expect(run.figures.supplyMean - run.figures.brakeMean).toBeCloseTo(drawn, 6);
  // 499 J come in at 1000 W up to the step across the jump, which draws; 147.4 J stay until they are drawn.
  expect(run.figures.brakeMean).toBeCloseTo(499 - derivedCase("BUS-1", "E=C/2"), 6);
});

test("without a resistor the voltage goes as high as the energy lifts it", () => {
  const run = runOf(backAndForth);
  expect(run.figures.voltage).toBeCloseTo(Math.sqrt(560 ** 2 + (2 * 499.5) / 1000e-6), -1);
  expect(run.figures.brakeMean).toBe(0);
});

test("a supply that feeds back holds its voltage and gives the mains what comes in", () => {
  const run = runOf(backAndForth, { feedsBack: true });
  expect(run.figures.voltage).toBe(560);
  expect(run.figures.brakePeak).toBe(0);
  expect(mean(run.supplied)).toBeCloseTo(100, -1);
});

test("a window that runs over the end of the cycle fills the capacitors as one", () => {
  const run = runOf((t) => (t < 0.1 || t > 0.9 ? -500 : 500));
  expect(run.figures.stored).toBeCloseTo(100, -0.5);
  expect(run.voltage[0]).toBeGreaterThan(600);
  expect(run.voltage[0]).toBeCloseTo(run.voltage.at(-1) ?? 0, 6);
});
