import * as fc from "fast-check";
import { beforeAll, describe, expect, test } from "vitest";
import { loadUnits, type UnitReader } from "../../src/units/load-units.ts";
import { QUANTITIES, type Quantity } from "../../src/units/quantity.ts";
import { readMoney, readQuantity, readShare } from "../../src/units/read-quantity.ts";
import { CONVERSIONS, WRITTEN } from "./conversions.ts";

const place = { file: "p.json", pointer: "/x" };
let units: UnitReader;
beforeAll(async () => {
  units = await loadUnits();
});

function read(text: string, quantity: Quantity): number | string {
  const result = readQuantity(units, text, quantity, place);
  return result.ok ? result.value : (result.faults[0]?.code ?? "no fault");
}

const NOT_OFFERED = ["GD2 kgf.m2 -> J kg.m2 (=GD2/4)", "metric hp -> W", "electric hp -> W"];

describe("conversion factors agree with NIST SP 811 (2008), appendix B", () => {
  test("every published row is checked or named as not offered", () => {
    expect(CONVERSIONS.map(({ name }) => name).toSorted()).toEqual(
      [...Object.keys(WRITTEN), ...NOT_OFFERED].toSorted(),
    );
  });

  test.each(CONVERSIONS.filter(({ name }) => WRITTEN[name] !== undefined))(
    "$name = $full",
    ({ name, full, printed }) => {
      const written = WRITTEN[name];
      const factor = written === undefined ? Number.NaN : Number(read(`1 ${written.unit}`, written.quantity));
      expect(Math.abs(factor / Number(full) - 1)).toBeLessThan(1e-11);
      if (printed === "") return;
      const digits = printed.split(" ").at(-1) ?? "";
      const count = digits.replace(/E.*$/i, "").replace(/^0\./, "").replace(".", "").length;
      expect(Number(factor.toPrecision(count))).toBe(Number(digits));
    },
  );
});

describe("units of the trade", () => {
  test.each([
    ["1 kgf*cm", "torque", 9.80665e-2],
    ["2.1 oz*in", "torque", 2.1 * 0.0070615518142],
    ["1 V/krpm", "voltage-constant", 60 / (2000 * Math.PI)],
    ["1 oz*in/A", "torque-constant", 0.0070615518142],
    ["1 rev", "angle", 2 * Math.PI],
    ["360 deg/s", "angular-speed", 2 * Math.PI],
    ["3 N*m/arcmin", "angular-stiffness", (3 * 10_800) / Math.PI],
    ["470 uF", "capacitance", 470e-6],
    ["1.5 kW", "power", 1500],
    ["2 week", "lead-time", 14],
    ["35 degC", "temperature", 35],
    ["95 degF", "temperature", 35],
    ["308.15 K", "temperature", 35],
    ["-.5e1mm", "length", -0.005],
  ] as const)("%s is read as %s", (text, quantity, value) => {
    expect(read(text, quantity)).toBeCloseTo(value, 9);
  });

  test("each documented example reads as its own quantity, with the unit of that quantity as 1", () => {
    for (const [name, { example, unit }] of Object.entries(QUANTITIES)) {
      const quantity = Object.keys(QUANTITIES).find((key): key is Quantity => key === name) ?? "length";
      const value = read(example, quantity);
      expect([example, typeof value === "number" && value > 0, read(`1 ${unit}`, quantity)]).toEqual([
        example,
        true,
        1,
      ]);
    }
    expect.assertions(Object.keys(QUANTITIES).length);
  });
});

test.each([
  ["14", "mass", "quantity"],
  ["", "mass", "quantity"],
  ["kg", "mass", "quantity"],
  ["14 lbs force", "mass", "unknown-unit"],
  ["14 N", "mass", "wrong-dimension"],
  ["30 Hz", "angular-speed", "wrong-dimension"],
  ["30 1/s", "angular-speed", "unknown-unit"],
  ["3 oz*in", "inertia", "wrong-dimension"],
  ["3 lb*in", "torque", "wrong-dimension"],
  ["35 degC", "length", "wrong-dimension"],
  ["35 m", "temperature", "wrong-dimension"],
  ["1e999 kg", "mass", "quantity"],
  ["1 constructor", "temperature", "unknown-unit"],
] as const)("%j for a %s is the fault %s", (text, quantity, code) => {
  expect(read(text, quantity)).toBe(code);
});

test("the same value in another unit reads as the same number", () => {
  const pairs: readonly { quantity: Quantity; si: string; other: string; factor: number }[] = [
    { quantity: "length", si: "m", other: "in", factor: 0.0254 },
    { quantity: "mass", si: "kg", other: "lb", factor: 0.45359237 },
    { quantity: "torque", si: "N*m", other: "lbf*in", factor: 4.4482216152605 * 0.0254 },
    { quantity: "inertia", si: "kg*m^2", other: "lb*in^2", factor: 0.45359237 * 0.0254 ** 2 },
    { quantity: "angular-speed", si: "rad/s", other: "rpm", factor: (2 * Math.PI) / 60 },
  ];
  const value = fc.double({ min: 1e-6, max: 1e6, noNaN: true });
  fc.assert(
    fc.property(fc.constantFrom(...pairs), value, ({ quantity, si, other, factor }, x) => {
      const straight = Number(read(`${x} ${si}`, quantity));
      const converted = Number(read(`${x / factor} ${other}`, quantity));
      expect(Math.abs(converted / straight - 1)).toBeLessThan(1e-14 * 10);
    }),
    { seed: 8111 },
  );
});

test("each distinct unit text is worked out once", () => {
  expect(units.unit("lbf*in")).toBe(units.unit("lbf*in"));
});

test("shares are numbers or per cent", () => {
  expect([
    readShare(0.15),
    readShare("15 %"),
    readShare("15%"),
    readShare("15"),
    readShare("15 kg"),
    readShare(null),
  ]).toEqual([0.15, 0.15, 0.15, undefined, undefined, undefined]);
});

const money = (text: string, per?: Quantity): number | string => {
  const result = readMoney(units, text, { currency: "EUR", per, example: "2 EUR", place });
  return result.ok ? result.value : (result.faults[0]?.code ?? "no fault");
};

test("money is read in cents per unit of what it is per", () => {
  expect(money("12000 EUR")).toBe(1_200_000);
  expect(money("0.36 EUR/kWh", "energy")).toBeCloseTo(36 / 3.6e6, 15);
  expect(money("2 EUR/kg", "mass")).toBe(200);
  expect(money("20 EUR/day", "lead-time")).toBe(2000);
  expect([money("2 USD"), money("2"), money("2 EUR/kg"), money("2 EUR", "mass"), money("2 EUR/m", "mass")]).toEqual(
    Array(5).fill("money"),
  );
});
