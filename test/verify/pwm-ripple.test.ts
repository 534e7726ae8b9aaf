import { expect, test } from "vitest";
import { rippleAt, simulatedRipple } from "../../src/verify/pwm-ripple.ts";
import { plainDrive } from "../oracle/plain-parts.ts";
import { referenceTable } from "../oracle/reference-table.ts";

const rows = referenceTable("pwm_ripple.csv").filter(({ modulation }) => modulation === "sv");

test("the stepped switching pattern gives the table of the reference (pwm_ripple.csv, derived), digit for digit", () => {
  expect(rows).toHaveLength(12);
  for (const row of rows) expect(rippleAt(Number(row["Vph_peak/Vdc"]))).toBeCloseTo(Number(row["k_rms"]), 4);
});

test("deeper than space-vector modulation reaches counts as its deepest", () => {
  expect(rippleAt(0.8)).toBe(rippleAt(1 / Math.sqrt(3)));
  expect(rippleAt(0)).toBe(0);
});

test("six-step: a triangle of U/(8·L·f) peak to peak at half duty, never more", () => {
  const drive = plainDrive({ commutation: "six-step", switchingFrequency: 10_000 });
  const most = 500 / (8 * 1e-3 * 10_000) / Math.sqrt(12);
  expect(simulatedRipple(drive, 250 / Math.SQRT2, 500, 1e-3)).toBeCloseTo(most, 12);
  expect(simulatedRipple(drive, 450 / Math.SQRT2, 500, 1e-3)).toBeCloseTo(most, 12);
  expect(simulatedRipple(drive, 50 / Math.SQRT2, 500, 1e-3)).toBeCloseTo(most * 4 * 0.1 * 0.9, 12);
});
