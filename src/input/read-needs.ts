import { contradiction, missing } from "../faults/wordings.ts";
import { type Feedback } from "../machine/catalogue.ts";
import { LIMIT_IDS, type LimitId } from "../machine/limit.ts";
import type { Allow, Needs } from "../machine/problem.ts";
import { given } from "./given.ts";
import { addDefault, addFault, child, has, member, type Node, placeOf } from "./node.ts";
import { CONSTRUCTIONS, FEEDBACKS, GEARBOX_STYLES } from "./part-choices.ts";
import { TRAVEL_QUANTITIES, type Travel } from "./travel.ts";
import {
  flagOr,
  numberOr,
  optionalChoices,
  optionalNumber,
  optionalQuantity,
  optionalShare,
  optionalTexts,
  quantityOr,
  reportMisplaced,
  shareOr,
} from "./values.ts";

/** The problem's margins, each a share. */
export type Margins = Readonly<Record<"torque" | "peak" | "speed" | "current" | "power", number>>;

/** Reads the problem's margins with their defaults. */
export function readMargins(node: Node): Margins {
  return {
    torque: shareOr(node, "torque", { fallback: 0.15 }),
    peak: shareOr(node, "peak", { fallback: 0.1 }),
    speed: shareOr(node, "speed", { fallback: 0.1 }),
    current: shareOr(node, "current", { fallback: 0.1 }),
    power: shareOr(node, "power", { fallback: 0.1 }),
  };
}

/** Reads what an axis asks for. A missing `brake` stays absent: it follows from gravity. */
export function readNeeds(node: Node, travel: Travel, margins: Margins): Needs {
  reportContradictions(node, travel);
  return {
    torqueMargin: optionalShare(node, "torque_margin") ?? margins.torque,
    peakMargin: optionalShare(node, "peak_margin") ?? margins.peak,
    speedMargin: optionalShare(node, "speed_margin") ?? margins.speed,
    currentMargin: optionalShare(node, "current_margin") ?? margins.current,
    brakeFactor: numberOr(node, "brake_factor", 2),
    inertiaRatio: readInertiaRatio(node),
    rippleCurrent: shareOr(node, "ripple_current", { fallback: 0.2 }),
    voltageReserve: shareOr(node, "voltage_reserve", { fallback: 0.1, most: 1 }),
    commutationError: quantityOr(node, "commutation_error", { quantity: "angle", fallback: 0 }),
    gearboxShock: numberOr(node, "gearbox_shock", 1),
    rejectUnknown: member(node, "unknown") === "reject",
    match: readMatch(child(node, "match")),
    relax: readRelax(child(node, "relax")),
    ...readOptional(node, travel),
  };
}

type OptionalNeeds = Omit<
  Needs,
  | "torqueMargin"
  | "peakMargin"
  | "speedMargin"
  | "currentMargin"
  | "brakeFactor"
  | "inertiaRatio"
  | "rippleCurrent"
  | "voltageReserve"
  | "commutationError"
  | "gearboxShock"
  | "rejectUnknown"
  | "match"
  | "relax"
>;

function readOptional(node: Node, travel: Travel): OptionalNeeds {
  const { distance, speed, force } = TRAVEL_QUANTITIES[travel];
  const brake = member(node, "brake");
  const feedback: readonly Feedback[] | undefined = optionalChoices(node, "feedback", FEEDBACKS);
  return given({
    brake: typeof brake === "boolean" ? brake : undefined,
    feedback,
    backlash: optionalQuantity(node, "backlash", { quantity: distance }),
    detent: optionalQuantity(node, travel === "linear" ? "detent_force" : "detent_torque", { quantity: force }),
    smoothFrom: optionalQuantity(node, "smooth_from", { quantity: speed, range: "positive" }),
    speedRipple: optionalShare(node, "speed_ripple"),
    torqueRipple: optionalShare(node, "torque_ripple"),
    resolution: optionalQuantity(node, "resolution", { quantity: distance, range: "positive" }),
    ip: optionalTexts(node, "ip"),
    maxLength: optionalQuantity(node, "max_length", { quantity: "length", range: "positive" }),
    maxWidth: optionalQuantity(node, "max_width", { quantity: "length", range: "positive" }),
    ...readBandwidth(node),
  });
}

/** The factor stands for something only beside a bandwidth. */
function readBandwidth(node: Node): Pick<Needs, "bandwidth" | "resonanceFactor"> {
  const bandwidth = optionalQuantity(node, "bandwidth", { quantity: "frequency", range: "positive" });
  if (bandwidth !== undefined) return { bandwidth, resonanceFactor: numberOr(node, "resonance_factor", 2) };
  reportMisplaced(node, ["resonance_factor"], '"bandwidth" beside "resonance_factor"');
  return {};
}

function reportContradictions(node: Node, travel: Travel): void {
  const [foreign, own] = travel === "linear" ? ["detent_torque", "detent_force"] : ["detent_force", "detent_torque"];
  reportMisplaced(node, [foreign], `"${own}" on a ${travel} axis`);
  if (has(node, "speed_ripple") && !has(node, "smooth_from")) {
    addFault(
      node,
      missing(placeOf(node, "smooth_from"), "no such key", '"smooth_from", which goes with "speed_ripple"'),
    );
  }
  if (has(node, "smooth_from") && !has(node, "speed_ripple")) {
    addFault(
      node,
      contradiction(placeOf(node, "smooth_from"), "no speed_ripple", '"speed_ripple" beside "smooth_from"'),
    );
  }
}

function readInertiaRatio(node: Node): number | null {
  if (has(node, "inertia_ratio"))
    return member(node, "inertia_ratio") === null ? null : (optionalNumber(node, "inertia_ratio") ?? null);
  addDefault(node, "inertia_ratio", "10");
  return 10;
}

function readMatch(node: Node): Needs["match"] {
  return Object.fromEntries(Object.keys(node.members).map((key) => [key, optionalTexts(node, key) ?? []]));
}

function readRelax(node: Node): Needs["relax"] {
  const relax: Partial<Record<LimitId, number | null>> = {};
  for (const id of LIMIT_IDS.filter((limit) => has(node, limit))) {
    relax[id] = member(node, id) === null ? null : (optionalShare(node, id) ?? null);
  }
  return relax;
}

/** Reads what may be picked; absent lists allow everything. */
export function readAllow(node: Node): Allow {
  return {
    gearless: flagOr(node, "gearless", true),
    ...given({
      motors: optionalTexts(node, "motors"),
      gearboxes: optionalTexts(node, "gearboxes"),
      drives: optionalTexts(node, "drives"),
      constructions: optionalChoices(node, "constructions", CONSTRUCTIONS),
      makers: optionalTexts(node, "makers"),
      ratios: readRatios(node),
      gearboxKinds: optionalChoices(node, "gearbox_kinds", GEARBOX_STYLES),
    }),
  };
}

function readRatios(node: Node): readonly [number, number] | undefined {
  const list = member(node, "ratios");
  if (!Array.isArray(list)) return undefined;
  const [least, most]: readonly unknown[] = list;
  if (typeof least !== "number" || typeof most !== "number") return undefined;
  if (least > most) {
    addFault(node, contradiction(placeOf(node, "ratios"), JSON.stringify(list), "the smaller ratio first"));
  }
  return [least, most];
}
