import { type Path, placesOf, valueAt } from "../plan/places.ts";
import type { Study } from "../plan/study.ts";
import type { RunRecord } from "../runs/run.ts";

/** Units of members of a result that have none beside them, by the member above and their own key; money apart. */
const UNITS: Readonly<Record<string, string>> = {
  "totals/mass": "kg",
  "totals/cabinet_width": "m",
  "totals/energy": "kWh/a",
};

const MONEY: ReadonlySet<string> = new Set(["price", "unit_price", "total", "bound"]);

/** Unit of each response: the one beside it in the results, the currency for sums of money, else empty. */
export function responseUnits(
  { responses }: Study,
  records: readonly RunRecord[],
  currency: string,
): readonly string[] {
  return responses.map(({ at }) => {
    for (const { result } of records) {
      const [path] = result === null ? [] : placesOf(result, at, false);
      if (path !== undefined) return unitAt(result, path, currency);
    }
    return "";
  });
}

function unitAt(result: unknown, path: Path, currency: string): string {
  const [above = "", key = ""] = path.slice(-2);
  if (path[0] === "objective" || MONEY.has(key)) return currency;
  if (key === "demand" || key === "allowed") {
    const beside = valueAt(result, [...path.slice(0, -1), "unit"]);
    return typeof beside === "string" && beside !== "1" ? beside : "";
  }
  return UNITS[`${above}/${key}`] ?? "";
}
