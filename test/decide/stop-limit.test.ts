import { expect, test } from "vitest";
import { checkBus } from "../../src/decide/bus-check.ts";
import type { BusStop } from "../../src/decide/stop-limit.ts";
import type { SupplyOption } from "../../src/decide/supply-options.ts";
import { busPower } from "../../src/physics/power/bus-power.ts";
import { MILD_SITE } from "../physics/sample-axis.ts";
import { resistorWith, supplyWith } from "../physics/sample-parts.ts";

const ID = "resistor.stop_energy";
// ½·1 mF·(780² − 560²) V² = 147.4 J of room (BUS-1, derived).
const supply = supplyWith({ capacitance: 1e-3, chopperVoltage: 780 });

function judged(option: Partial<SupplyOption>, stop: BusStop | undefined = { energy: 200, time: 0.3 }) {
  const power = busPower([], 1, 1);
  const demand = { drawn: power, braked: power, billed: power, modules: [], ...(stop === undefined ? {} : { stop }) };
  const around = { site: MILD_SITE, voltage: { low: 500, high: 560 }, margin: 0.1 };
  return checkBus(demand, { supply, resistor: undefined, way: "capacitors", ...option }, around);
}

const limitOf = (option: Partial<SupplyOption>, stop?: BusStop) =>
  judged(option, stop).limits.find(({ id }) => id === ID);

test("what the capacitors do not hold is the resistor's: 1.1 · 200 J − 147.4 J = 72.6 J", () => {
  const with80 = { resistor: resistorWith({ pulseEnergy: 80 }), way: "resistor" } as const;
  expect(limitOf(with80)).toMatchObject({
    demand: expect.closeTo(72.6, 9),
    allowed: 80,
    unit: "J",
    time: 0.3,
    beside: { name: "given back by the axes", value: 200, unit: "J" },
  });
  expect(judged(with80).failed).not.toContain(ID);
  const with70 = { resistor: resistorWith({ pulseEnergy: 70 }), way: "resistor" } as const;
  expect(judged(with70).failed).toContain(ID);
});

test("without a resistor the capacitors have to hold all of it", () => {
  expect(judged({}).failed).toContain(ID);
  expect(limitOf({})).toMatchObject({ allowed: 0, utilisation: null });
  expect(limitOf({}, { energy: 134, time: 0 })).toMatchObject({ demand: 0, utilisation: 0 });
  expect(judged({}, { energy: 134, time: 0 }).failed).not.toContain(ID);
});

test("a resistor, or one inside the supply, whose pulse energy nobody gives fails where it is needed", () => {
  for (const option of [{ resistor: resistorWith(), way: "resistor" }, { way: "internal-resistor" }] as const) {
    expect(judged(option).unchecked).toContainEqual({ id: ID, missing: "pulse_energy" });
    expect(judged(option).failed).toContain(ID);
    expect(judged(option, { energy: 100, time: 0 }).failed).not.toContain(ID);
  }
});

test("is not asked of a supply that feeds back, nor where no stop is asked for", () => {
  const feeding = { supply: supplyWith({ feedsBack: true }), way: "feeds-back" } as const;
  expect(limitOf(feeding)).toBeUndefined();
  expect(judged(feeding).failed).not.toContain(ID);
  const { limits, unchecked } = checkBus(
    { drawn: busPower([], 1, 1), braked: busPower([], 1, 1), billed: busPower([], 1, 1), modules: [] },
    { supply, resistor: resistorWith(), way: "resistor" },
    { site: MILD_SITE, voltage: { low: 500, high: 560 }, margin: 0 },
  );
  expect([...limits, ...unchecked].map(({ id }) => id)).not.toContain(ID);
});
