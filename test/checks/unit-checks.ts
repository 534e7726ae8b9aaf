import { loadUnits } from "../../src/units/load-units.ts";
import type { Quantity } from "../../src/units/quantity.ts";
import { readQuantity } from "../../src/units/read-quantity.ts";
import { CONVERSIONS, WRITTEN } from "../units/conversions.ts";
import type { Check } from "./check.ts";

const TEST = "units/load-units.test.ts";
const place = { file: "p.json", pointer: "/x" };

/** Unit factors. */
export async function unitChecks(): Promise<Check[]> {
  const units = await loadUnits();
  const factor = (unit: string, quantity: Quantity): number => {
    const read = readQuantity(units, `1 ${unit}`, quantity, place);
    return read.ok ? read.value : Number.NaN;
  };
  return CONVERSIONS.flatMap(({ name, full, printed }) => {
    const written = WRITTEN[name];
    if (written === undefined) return [];
    const derivation = printed === "" ? ", derived from its definitions" : "";
    return [
      {
        id: written.unit,
        formula: name.replace(" -> ", " in "),
        source: `NIST SP 811 (2008), appendix B${derivation}`,
        published: Number(full),
        unit: name.split(" -> ")[1] ?? "",
        ours: () => factor(written.unit, written.quantity),
        tolerance: 1e-11,
        test: TEST,
      },
    ];
  });
}
