import { expect, test } from "vitest";
import { formatQuantity } from "../../src/units/format-quantity.ts";
import { loadUnits } from "../../src/units/load-units.ts";
import { QUANTITIES, type Quantity } from "../../src/units/quantity.ts";
import { readQuantity } from "../../src/units/read-quantity.ts";

test.each([
  [0.0123, "m", "12.3 mm"],
  [0, "m", "0 m"],
  [-0.3, "m", "-300 mm"],
  [1, "m", "1 m"],
  [2e-6, "m", "2 um"],
  [Math.PI / 2, "rad", "90 deg"],
  [Math.PI / 10_800, "rad", "1 arcmin"],
  [10 * Math.PI, "rad/s", "300 rpm"],
  [0.15, "%", "15 %"],
  [40, "degC", "40 degC"],
  [10, "1", "10"],
  [2.926397e-4, "kg*m^2", "2.926 kg*cm^2"],
  [1500, "W", "1.5 kW"],
])("%d %s is shown as %s", (value, unit, text) => {
  expect(formatQuantity(value, unit)).toBe(text);
});

test("what is shown reads back as the same value", async () => {
  const units = await loadUnits();
  const values = [1e-5, 0.0123, 0.9, 7, 1234];
  const quantities = Object.keys(QUANTITIES).filter((name): name is Quantity => name in QUANTITIES);
  for (const quantity of quantities) {
    for (const value of values) {
      const text = formatQuantity(value, QUANTITIES[quantity].unit, 15);
      const read = readQuantity(units, text, quantity, { file: "", pointer: "" });
      expect({ text, agrees: read.ok && Math.abs(read.value / value - 1) < 1e-12 }).toEqual({ text, agrees: true });
    }
  }
  expect.assertions(quantities.length * values.length);
});
