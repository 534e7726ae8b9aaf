import { USUAL_WISH, type Wish } from "./wish.ts";

/** Command-line options of a wish, for `parseArgs`. */
export const WISH_OPTIONS = {
  seed: { type: "string", default: String(USUAL_WISH.seed) },
  machines: { type: "string", default: String(USUAL_WISH.machines) },
  quantity: { type: "string", default: String(USUAL_WISH.quantity) },
  buses: { type: "string", default: String(USUAL_WISH.buses) },
  carried: { type: "string", default: String(USUAL_WISH.carried) },
  "tight-cabinet": { type: "boolean", default: false },
  "tight-supply": { type: "boolean", default: false },
  "no-variety": { type: "boolean", default: false },
  "no-caps": { type: "boolean", default: false },
  "no-steps": { type: "boolean", default: false },
} as const;

type Values = Readonly<Record<"seed" | "machines" | "quantity" | "buses" | "carried", string>> &
  Readonly<Record<"tight-cabinet" | "tight-supply" | "no-variety" | "no-caps" | "no-steps", boolean>>;

/** The wish that options stand for, with so many axes and parts. */
export function wishOf(values: Values, axes: number, parts: number): Wish {
  return {
    seed: whole(values.seed, 0),
    axes: whole(String(axes), 1),
    parts: whole(String(parts), 60),
    machines: whole(values.machines, 1),
    quantity: whole(values.quantity, 1),
    buses: values.buses === "2" ? 2 : 1,
    carried: Math.min(1, Math.max(0, Number(values.carried))),
    isCabinetTight: values["tight-cabinet"],
    isSupplyTight: values["tight-supply"],
    hasVariety: !values["no-variety"],
    hasCaps: !values["no-caps"],
    hasPriceSteps: !values["no-steps"],
  };
}

function whole(text: string, least: number): number {
  const value = Number(text);
  if (!Number.isInteger(value) || value < least)
    throw new Error(`found ${text}, expected a whole number from ${least}`);
  return value;
}
