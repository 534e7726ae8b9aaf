import { describe, expect, test } from "vitest";
import { supplyOverload } from "../../src/decide/supply-overload.ts";
import type { Supply } from "../../src/machine/catalogue.ts";
import { type BusPower, busPower } from "../../src/physics/power/bus-power.ts";
import { drawingPiece } from "../physics/drawing-piece.ts";
import { near } from "../physics/near.ts";
import { MILD_SITE } from "../physics/sample-axis.ts";
import { supplyWith } from "../physics/sample-parts.ts";

/** Takes 500 W for some seconds, gives 100 W back for a second and rests. */
function bus(taking: number, resting: number): BusPower {
  const powers = [
    { time: taking, power: 500 },
    { time: 1, power: -100 },
    { time: resting, power: 0 },
  ];
  const pieces = powers.map(({ time, power }, k) => {
    const from = powers.slice(0, k).reduce((sum, before) => sum + before.time, 0);
    return drawingPiece(from, from + time, () => power);
  });
  const period = taking + 1 + resting;
  return busPower([{ pair: { period, pieces }, lossPerAmp: 0 }], 0, period);
}

function overload(power: BusPower, supply: Partial<Supply>, margin = 0): ReturnType<typeof supplyOverload> {
  const of = supplyWith(supply);
  const way = of.feedsBack ? "feeds-back" : "capacitors";
  return supplyOverload(power, { supply: of, resistor: undefined, way }, { site: MILD_SITE, margin });
}

/** Largest state of a body that a square wave heats: h·(1 − e^(−d/τ))/(1 − e^(−T/τ)). Source: variation of constants. */
function squareWave(heat: number, on: number, period: number, tau: number): number {
  return (heat * -Math.expm1(-on / tau)) / -Math.expm1(-period / tau);
}

describe("overload of a supply", () => {
  // k = 2 and τ = 60 s bear 17.26092 s from cold: t = −τ·ln(1 − 1/k²) (thermal relays, IEC 60255-149, from memory).
  const rated = { continuousPower: 250, peakPower: 500, peakTime: 17.26092 };

  test("gives its peak power for just its peak time from cold", () => {
    expect(overload(bus(17.26092, 5000), rated)).toMatchObject({ demand: near(1, 1e-6), allowed: 1, unit: "1" });
    expect(overload(bus(17, 5000), rated)).toMatchObject({ demand: near(4 * -Math.expm1(-17 / 60), 1e-6) });
  });

  test.each([
    [10, 29],
    [30, 9],
    [1, 0.5],
  ])("over and over, %d s of taking and %d s of rest: as by the closed form, at the end of the taking", (on, off) => {
    const found = overload(bus(on, off), rated, 0.1);
    const tau = -17.26092 / Math.log(0.75);
    const wanted = squareWave(4 * 1.1 ** 2, on, on + 1 + off, tau);
    expect(found).toMatchObject({ demand: near(wanted, 1e-9), utilisation: near(wanted, 1e-9), time: near(on, 1e-9) });
  });

  test("counts what is fed back where the supply feeds back, and only there", () => {
    const tau = -17.26092 / Math.log(0.75);
    const without = overload(bus(10, 9), rated);
    const feeding = overload(bus(10, 9), { ...rated, feedsBack: true });
    expect(without).toMatchObject({ demand: near(squareWave(4, 10, 20, tau), 1e-9) });
    // What the second of 100 W leaves behind, 9 s later, counts at the end of the next taking.
    const left = squareWave(0.16, 1, 20, tau) * Math.exp(-19 / tau);
    expect(feeding).toMatchObject({ demand: near(squareWave(4, 10, 20, tau) + left, 1e-9) });
  });

  test("is not judged where the power never exceeds the continuous one, nor where the peak does not", () => {
    expect(overload(bus(10, 9), { ...rated, continuousPower: 500, peakPower: 900 })).toBeUndefined();
    expect(overload(bus(10, 9), { ...rated, continuousPower: 499, peakPower: 499 })).toBeUndefined();
    expect(overload(bus(10, 9), { ...rated, continuousPower: 499 })).toBeDefined();
  });

  test("is not checked without the peak time", () => {
    const { peakTime: _, ...silent } = rated;
    expect(overload(bus(10, 9), silent)).toEqual({ id: "supply.overload", missing: "peak_time" });
    expect(overload(bus(10, 9), { ...silent, continuousPower: 501, peakPower: 900 })).toBeUndefined();
  });
});
