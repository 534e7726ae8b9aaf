import { nearestName } from "../../faults/nearest-name.ts";
import { contradiction, missing, outOfRange, unknownName, wrongDimension, wrongForm } from "../../faults/wordings.ts";
import { joinPointer, pointerSteps } from "../../input/json-pointer.ts";
import { addFault, member, type Node, placeOf } from "../../input/node.ts";
import { optionalText } from "../../input/values.ts";
import type { UnitReader } from "../../units/load-units.ts";
import { splitQuantity } from "../../units/read-quantity.ts";
import { type Factor, type Json, type Level, type RangeScale, rounded, type Scale } from "./factor.ts";
import { namesNear, type Path, placesOf, valueAt } from "./places.ts";

/** Reads a factor: its places in the problem, and the values it can take. */
export function readFactor(node: Node, problem: unknown): Factor {
  const apply = member(node, "apply") === "multiply" ? "multiply" : "set";
  const { scale, unit } = readScale(node);
  if (apply === "multiply" && !isFactorOfNumbers(scale, unit)) {
    addFault(
      node,
      wrongForm(
        placeOf(node, "apply"),
        '"multiply" with values that are no plain numbers',
        "numbers to multiply by, such as [0.9, 1.1]",
      ),
    );
  }
  return { id: optionalText(node, "id") ?? "", places: readPlaces(node, problem, apply), apply, scale, unit };
}

function isFactorOfNumbers(scale: Scale, unit: string): boolean {
  return unit === "" && (scale.kind === "range" || scale.levels.every(({ number }) => number !== undefined));
}

function readPlaces(node: Node, problem: unknown, apply: Factor["apply"]): readonly Path[] {
  const pointers = member(node, "at");
  if (!Array.isArray(pointers)) return [];
  return pointers.flatMap((pointer: unknown, index) => {
    const steps = typeof pointer === "string" ? pointerSteps(pointer) : undefined;
    if (steps === undefined) return [];
    const places = placesOf(problem, steps, apply === "set");
    const place = { file: node.reading.file, pointer: joinPointer(joinPointer(node.pointer, "at"), index) };
    const fault =
      places.length === 0 ? strayFault(problem, steps, place) : factorlessFault(problem, places, { apply, place });
    if (fault !== undefined) addFault(node, fault);
    return places;
  });
}

function strayFault(problem: unknown, steps: Path, place: ReturnType<typeof placeOf>): ReturnType<typeof unknownName> {
  const { step, names } = namesNear(problem, steps);
  const some = names.length === 0 ? "" : `: ${names.slice(0, 8).join(", ")}${names.length > 8 ? " …" : ""}`;
  return unknownName(place, {
    name: step,
    expected: `a place in the problem${some}`,
    nearest: nearestName(step, names),
  });
}

function factorlessFault(
  problem: unknown,
  places: readonly Path[],
  { apply, place }: { readonly apply: Factor["apply"]; readonly place: ReturnType<typeof placeOf> },
): ReturnType<typeof wrongForm> | undefined {
  if (apply === "set") return undefined;
  const odd = places.map((path) => valueAt(problem, path)).find((value) => !isMultiplicable(value));
  return odd === undefined
    ? undefined
    : wrongForm(place, JSON.stringify(odd).slice(0, 60), "a number or a value with its unit, to be multiplied");
}

function isMultiplicable(value: unknown): boolean {
  return typeof value === "number" || (typeof value === "string" && splitQuantity(value) !== undefined);
}

/** Values of a factor, and the unit that its numbers have. */
interface Values {
  readonly scale: Scale;
  readonly unit: string;
}

const NOTHING: Values = { scale: { kind: "listed", levels: [], isCategorical: true }, unit: "" };

function readScale(node: Node): Values {
  const [range, levels] = [member(node, "range"), member(node, "levels")];
  if (range !== undefined && levels !== undefined) {
    addFault(node, contradiction(placeOf(node, "levels"), "levels beside a range", "one of the two"));
    return NOTHING;
  }
  if (Array.isArray(range)) return readRange(node, range) ?? NOTHING;
  if (Array.isArray(levels)) return readLevels(node, levels.filter(isJson));
  if (range === undefined && levels === undefined) {
    addFault(
      node,
      missing(placeOf(node, "range"), "neither range nor levels", 'values to try, such as "range": ["0.8 s", "1.2 s"]'),
    );
  }
  return NOTHING;
}

function isJson(value: unknown): value is Json {
  return value !== undefined;
}

function readRange(node: Node, ends: readonly unknown[]): Values | undefined {
  const place = placeOf(node, "range");
  const kind = member(node, "kind");
  if (kind === "listed" || kind === "categorical") {
    addFault(node, contradiction(place, `a range of ${kind} values`, "levels, each written out"));
    return undefined;
  }
  const numbers = numbersOf(node.reading.units, ends);
  const [low, high] = numbers?.numbers ?? [];
  if (numbers === undefined || low === undefined || high === undefined) {
    addFault(
      node,
      wrongDimension(
        place,
        JSON.stringify(ends),
        'two numbers, or two values of one dimension, such as ["0.8 s", "1.2 s"]',
      ),
    );
    return undefined;
  }
  const scale: RangeScale = {
    kind: "range",
    low,
    high,
    isLog: member(node, "transform") === "log",
    isWhole: kind === "integer",
  };
  const fault = rangeFault(scale);
  if (fault !== undefined) addFault(node, outOfRange(place, JSON.stringify(ends), fault));
  return { scale, unit: numbers.unit };
}

function rangeFault({ low, high, isLog, isWhole }: RangeScale): string | undefined {
  if (low >= high) return "the low value first, and a higher one";
  if (isLog && low <= 0) return "values above 0 for a logarithmic scale";
  return isWhole && !(Number.isInteger(low) && Number.isInteger(high)) ? "whole numbers" : undefined;
}

function readLevels(node: Node, levels: readonly Json[]): Values {
  if (new Set(levels.map((level) => JSON.stringify(level))).size < levels.length) {
    addFault(node, wrongForm(placeOf(node, "levels"), "the same level twice", "each level once"));
  }
  const kind = member(node, "kind");
  const numbers = numbersOf(node.reading.units, levels);
  if (kind === "continuous")
    addFault(node, contradiction(placeOf(node, "levels"), "levels of a continuous factor", "a range"));
  if ((kind === "listed" || kind === "integer") && numbers === undefined) {
    addFault(
      node,
      wrongForm(placeOf(node, "levels"), JSON.stringify(levels).slice(0, 60), "numbers, or values of one dimension"),
    );
  }
  const listed: Level[] = levels.map((json, index) => ({
    json,
    label: labelOf(json),
    number: numbers?.numbers[index],
  }));
  const isCategorical = kind === "categorical" || numbers === undefined;
  return { scale: { kind: "listed", levels: listed, isCategorical }, unit: numbers?.unit ?? "" };
}

/** Short text of a value: a text as it is, a list by its elements. */
function labelOf(json: Json): string {
  if (typeof json === "string") return json;
  return Array.isArray(json) ? json.map(String).join(" + ") : JSON.stringify(json);
}

/** All values as numbers in the unit of the first; undefined unless all are plain numbers, or all of one dimension. */
function numbersOf(
  units: UnitReader,
  values: readonly unknown[],
): { readonly numbers: readonly number[]; readonly unit: string } | undefined {
  if (values.every((value) => typeof value === "number")) return { numbers: values, unit: "" };
  const split = values.map((value) => (typeof value === "string" ? splitQuantity(value) : undefined));
  const unit = split[0]?.unit ?? "";
  const numbers = split.map((one) => (one === undefined ? undefined : inUnit(units, one, unit)));
  return numbers.every((number) => number !== undefined) ? { numbers, unit } : undefined;
}

/** A number in another unit of its dimension; temperatures (they have offsets), per cent and money only in the same one. */
export function inUnit(
  units: UnitReader,
  { number, unit }: { readonly number: number; readonly unit: string },
  wanted: string,
): number | undefined {
  if (unit === wanted) return number;
  const [from, to] = [units.unit(unit), units.unit(wanted)];
  if (from === undefined || to === undefined || from.dimension !== to.dimension) return undefined;
  if (from.dimension === units.unit("K")?.dimension) return undefined;
  return rounded((number * from.factor) / to.factor);
}
