/** A unit as text, worked out: what one of it is in SI, and its dimension as a comparable text. */
export interface ParsedUnit {
  readonly factor: number;
  readonly dimension: string;
}

/** Works out unit texts, each distinct text once. Made by `loadUnits` and handed down. */
export interface UnitReader {
  /** The unit named by the text, or undefined when there is no such unit. */
  readonly unit: (text: string) => ParsedUnit | undefined;
}

/**
 * The trade's units that the units library lacks, or keeps with fewer digits, as exact definitions.
 * Source: NIST SP 811 (2008), appendix B.8; the pound-force is 0.45359237 kg × 9.80665 m/s² exactly.
 */
const TRADE_UNITS: readonly { readonly name: string; readonly definition: string; readonly takesPrefixes?: true }[] = [
  { name: "rev", definition: `${2 * Math.PI} rad` },
  { name: "rpm", definition: "1 rev/min", takesPrefixes: true },
  { name: "ozf", definition: "0.0625 lbf" },
  { name: "slug", definition: "1 lbf*s^2/ft" },
  { name: "hp", definition: "550 lbf*ft/s" },
];

const UNIT_TEXT = /^[A-Za-z][A-Za-z0-9*/^()]*$/;

/** `oz*in` and `oz*in*s^2` mean the ounce as a force; `oz*in^2` stays a moment of inertia. */
const OUNCE_INCH = /\boz\*in\b(?!\^)/g;

/**
 * Loads the units library, once per call and only here: in one file, because its thousand modules take eight times as long.
 *
 * @returns a reader with a memory of its own
 */
export async function loadUnits(): Promise<UnitReader> {
  const { default: bundle } = await import("mathjs/lib/browser/math.js");
  const maths = bundle.create({ ...bundle.unitDependencies, ...bundle.createUnitDependencies });
  for (const { name, definition, takesPrefixes } of TRADE_UNITS) {
    const prefixes = takesPrefixes ? "short" : "none";
    maths.createUnit(name, { definition, prefixes }, { override: true });
  }
  const parse = (text: string): ParsedUnit | undefined => {
    if (!UNIT_TEXT.test(text)) return undefined;
    try {
      const { value, dimensions } = maths.unit(1, text.replace(OUNCE_INCH, "ozf*in"));
      return { factor: value, dimension: dimensions.join(" ") };
    } catch {
      return undefined;
    }
  };
  return { unit: remember(parse) };
}

function remember(parse: (text: string) => ParsedUnit | undefined): UnitReader["unit"] {
  const known = new Map<string, ParsedUnit | undefined>();
  return (text) => {
    if (!known.has(text)) known.set(text, parse(text));
    return known.get(text);
  };
}
