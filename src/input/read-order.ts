import { PART_KINDS, type PartKind } from "../machine/catalogue.ts";
import type { Caps, Problem, Site, Weights } from "../machine/problem.ts";
import { given } from "./given.ts";
import { addDefault, child, has, member, type Node } from "./node.ts";
import {
  centsOf,
  numberOr,
  optionalMoney,
  optionalNumber,
  optionalQuantity,
  optionalTexts,
  quantityOr,
  requiredQuantity,
  shareOr,
} from "./values.ts";

/** Reads the surroundings of the machines. */
export function readSite(node: Node): Site {
  return {
    ambient: quantityOr(node, "ambient", { quantity: "temperature", fallback: 40, range: "any" }),
    cabinetAmbient: quantityOr(node, "cabinet_ambient", { quantity: "temperature", fallback: 40, range: "any" }),
    altitude: quantityOr(node, "altitude", { quantity: "length", fallback: 0, range: "any" }),
    mains: requiredQuantity(node, "mains", { quantity: "voltage", range: "positive" }),
    phases: node.members["phases"] === 1 ? 1 : 3,
    mainsTolerance: shareOr(node, "mains_tolerance", { fallback: 0.1, most: 0.5 }),
  };
}

/** Reads what is minimised. Money becomes cents, per SI unit (and per day). */
export function readWeights(node: Node): Weights {
  return {
    currency: node.reading.currency,
    purchase: numberOr(node, "purchase", 1),
    variety: readVariety(child(node, "variety")),
    energy: readEnergy(node),
    mass: moneyOr(node, "mass", { per: "mass", example: "2 EUR/kg" }),
    cabinetWidth: moneyOr(node, "cabinet_width", { per: "length", example: "1.5 EUR/mm" }),
    leadTime: moneyOr(node, "lead_time", { per: "lead-time", example: "20 EUR/day" }),
  };
}

function moneyOr(
  node: Node,
  key: string,
  wanted: { readonly per: "mass" | "length" | "lead-time"; readonly example: string },
): number {
  const value = optionalMoney(node, key, wanted);
  if (value !== undefined) return value;
  addDefault(node, key, `0 ${wanted.example.replace(/^\S+ /, "").replace("EUR", node.reading.currency)}`);
  return 0;
}

function readVariety(node: Node): Weights["variety"] {
  const cost = (key: string): number => centsOf(node, key, numberOr(node, key, 0));
  return {
    motor: cost("motor"),
    frame: cost("frame"),
    gearbox: cost("gearbox"),
    drive: cost("drive"),
    maker: cost("maker"),
    supply: cost("supply"),
    resistor: cost("resistor"),
    inductor: cost("inductor"),
  };
}

function readEnergy(weights: Node): Weights["energy"] {
  if (!has(weights, "energy")) {
    addDefault(weights, "energy", "not counted");
    return { price: 0, duration: 0, hoursPerYear: 0, years: 0 };
  }
  const node = child(weights, "energy");
  const hoursPerYear = optionalNumber(node, "hours_per_year") ?? Number.NaN;
  const years = optionalNumber(node, "years") ?? Number.NaN;
  const price = optionalMoney(node, "price", { per: "energy", example: "0.21 EUR/kWh" }) ?? Number.NaN;
  return { price, duration: hoursPerYear * 3600 * years, hoursPerYear, years };
}

/** Reads the hard bounds; absent: none. */
export function readCaps(node: Node): Caps {
  const price = optionalMoney(node, "price", { example: "12000 EUR" });
  return given({
    motors: optionalNumber(node, "motors"),
    frames: optionalNumber(node, "frames"),
    gearboxes: optionalNumber(node, "gearboxes"),
    drives: optionalNumber(node, "drives"),
    makers: optionalNumber(node, "makers"),
    parts: optionalNumber(node, "parts"),
    price: price === undefined || Number.isNaN(price) ? price : centsOf(node, "price", price / 100),
    cabinetWidth: optionalQuantity(node, "cabinet_width", { quantity: "length" }),
    mass: optionalQuantity(node, "mass", { quantity: "mass" }),
    leadTime: optionalQuantity(node, "lead_time", { quantity: "lead-time" }),
  });
}

/** Reads the parts and makers left out of the whole order. */
export function readForbid(node: Node): Problem["forbid"] {
  return { parts: optionalTexts(node, "parts") ?? [], makers: optionalTexts(node, "makers") ?? [] };
}

/** Reads the kinds of part that need a substitute of another maker: all, none, or those listed. In the order of the kinds. */
export function readDualSource(root: Node): Problem["dualSource"] {
  const asked = member(root, "dual_source");
  if (asked === true) return PART_KINDS;
  const isAsked = (kind: PartKind): boolean => Array.isArray(asked) && asked.includes(kind);
  return PART_KINDS.filter(isAsked);
}
