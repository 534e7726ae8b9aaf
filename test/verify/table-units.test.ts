import { expect, test } from "vitest";
import { LIMIT_IDS } from "../../src/machine/limit.ts";
import { tableWriter, unitOfLimit } from "../../src/result/table-units.ts";
import { sizeOf } from "../../src/verify/table-units.ts";

const UNITS = ["N*m", "N", "rpm", "V", "1", "m", "rad", "A", "Hz", "degC", "W", "J", "uF", "kg", "day", "count", "EUR"];

/** Own oracle: the table the result is written by, which the simulation does not share. */
test.each(LIMIT_IDS)("%s is read in the units it is written in, and in no other", (id) => {
  const { unit } = tableWriter("EUR");
  const written = [false, true].map((isRotary) => unit(unitOfLimit(id, isRotary)));
  const accepted = UNITS.filter((one) => Number.isFinite(sizeOf(id, one, "EUR")));
  expect(accepted.toSorted()).toEqual([...new Set(written)].toSorted());
});
