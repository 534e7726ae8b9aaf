import { contradiction, missing, outOfRange } from "../faults/wordings.ts";
import { LAW_NAMES, type LawName, type MoveSegment, type Segment } from "../machine/problem.ts";
import { given } from "./given.ts";
import { addDefault, addFault, has, type Node, placeOf } from "./node.ts";
import { TRAVEL_QUANTITIES, type Travel } from "./travel.ts";
import {
  ABOVE_ZERO,
  optionalChoice,
  optionalQuantity,
  optionalShare,
  reportMisplaced,
  requiredQuantity,
} from "./values.ts";

type OwnFields = Omit<MoveSegment, Exclude<keyof Extract<Segment, { readonly kind: "dwell" }>, "kind" | "time">>;

const LIMIT_KEYS = ["max_speed", "max_acceleration", "max_jerk"];
const SHARE_KEYS = ["accelerate", "decelerate", "jerk"];

/** Which of a move's keys a law takes. A law whose jerk is unbounded takes no `max_jerk`. */
interface LawKeys {
  readonly shares: readonly string[];
  readonly limits: readonly string[];
  /** Limits without which the time-optimal move is not determined. */
  readonly requiredLimits: readonly string[];
}

const SMOOTH: LawKeys = { shares: [], limits: LIMIT_KEYS, requiredLimits: [] };
const JERKING: LawKeys = { shares: [], limits: ["max_speed", "max_acceleration"], requiredLimits: [] };

const LAW_KEYS: Readonly<Record<LawName, LawKeys>> = {
  trapezoid: { ...JERKING, shares: ["accelerate", "decelerate"], requiredLimits: ["max_acceleration"] },
  triangle: JERKING,
  "s-curve": { shares: SHARE_KEYS, limits: LIMIT_KEYS, requiredLimits: ["max_acceleration", "max_jerk"] },
  harmonic: JERKING,
  cycloidal: SMOOTH,
  "modified-trapezoid": SMOOTH,
  "modified-sine": SMOOTH,
  "polynomial-5": SMOOTH,
  "polynomial-7": SMOOTH,
};

/** Reads a move: by its time and the law's shares, or by limits that the time follows from. */
export function readMove(node: Node, travel: Travel): OwnFields {
  const { distance } = TRAVEL_QUANTITIES[travel];
  const move = {
    kind: "move",
    distance: requiredQuantity(node, "move", { quantity: distance, range: "any" }),
    law: readLaw(node),
  } as const;
  if (move.distance === 0) {
    addFault(node, outOfRange(placeOf(node, "move"), "a move of 0", 'a distance, or a "dwell" to stand still'));
  }
  if (has(node, "time") || !LIMIT_KEYS.some((key) => has(node, key))) return { ...move, ...readByTime(node, move.law) };
  return { ...move, ...readByLimits(node, { travel, law: move.law }) };
}

function readLaw(node: Node): LawName {
  if (!has(node, "law")) addDefault(node, "law", "trapezoid");
  return optionalChoice(node, "law", LAW_NAMES) ?? "trapezoid";
}

function readByTime(node: Node, law: LawName): Pick<MoveSegment, "time" | "accelerate" | "decelerate" | "jerk"> {
  if (!has(node, "time")) {
    addFault(node, missing(placeOf(node, "time"), "no such key", `"time", or limits: ${LIMIT_KEYS.join(", ")}`));
  }
  reportMisplaced(node, LIMIT_KEYS, 'either "time" or limits, not both');
  const { shares } = LAW_KEYS[law];
  const foreign = SHARE_KEYS.filter((key) => !shares.includes(key));
  reportMisplaced(node, foreign, `no such share with the law ${law}`);
  const time = optionalQuantity(node, "time", { quantity: "time", range: "positive" });
  return { ...given({ time }), ...(shares.includes("accelerate") ? readRamps(node) : {}), ...readJerk(node, shares) };
}

function readRamps(node: Node): { readonly accelerate: number; readonly decelerate: number } {
  const accelerate = rampShare(node, "accelerate");
  const decelerate = rampShare(node, "decelerate");
  if (accelerate + decelerate > 1 + 1e-12) {
    const place = placeOf(node, has(node, "decelerate") ? "decelerate" : "accelerate");
    addFault(node, outOfRange(place, `shares that add up to ${accelerate + decelerate}`, "at most 1 together"));
  }
  return { accelerate, decelerate };
}

function rampShare(node: Node, key: "accelerate" | "decelerate"): number {
  const share = optionalShare(node, key, { least: ABOVE_ZERO, most: 1 });
  if (share === undefined) addDefault(node, key, "1/3");
  return share ?? 1 / 3;
}

function readJerk(node: Node, shares: readonly string[]): { readonly jerk?: number } {
  if (!shares.includes("jerk")) return {};
  const jerk = optionalShare(node, "jerk", { least: 0, most: 0.5 });
  if (jerk === undefined) addDefault(node, "jerk", "0.25");
  return { jerk: jerk ?? 0.25 };
}

function readByLimits(
  node: Node,
  how: { readonly travel: Travel; readonly law: LawName },
): Pick<MoveSegment, "maxSpeed" | "maxAcceleration" | "maxJerk"> {
  const { speed, acceleration, jerk } = TRAVEL_QUANTITIES[how.travel];
  const { limits, requiredLimits } = LAW_KEYS[how.law];
  reportMisplaced(node, SHARE_KEYS, "no shares of the time where limits give the time");
  const unbounded = LIMIT_KEYS.filter((key) => !limits.includes(key) && has(node, key));
  for (const key of unbounded) {
    addFault(node, contradiction(placeOf(node, key), `key "${key}"`, `a law of bounded jerk; ${how.law} has none`));
  }
  for (const key of requiredLimits.filter((name) => !has(node, name))) {
    addFault(node, missing(placeOf(node, key), "no such key", `"${key}", which ${how.law} needs without a time`));
  }
  return given({
    maxSpeed: optionalQuantity(node, "max_speed", { quantity: speed, range: "positive" }),
    maxAcceleration: optionalQuantity(node, "max_acceleration", { quantity: acceleration, range: "positive" }),
    maxJerk: optionalQuantity(node, "max_jerk", { quantity: jerk, range: "positive" }),
  });
}
