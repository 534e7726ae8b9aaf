import { contradiction, missing, outOfRange } from "../faults/wordings.ts";
import type { Mechanism, MechanismKind } from "../machine/mechanism.ts";
import { given } from "./given.ts";
import { addDefault, addFault, has, type Node, placeOf } from "./node.ts";
import { readMeasured } from "./read-measured.ts";
import { readBeltPull, readPinionPush } from "./read-radial.ts";
import { readScrewCheck } from "./read-screw-check.ts";
import { screwEfficiencies } from "./screw-efficiencies.ts";
import type { Travel } from "./travel.ts";
import {
  ABOVE_ZERO,
  optionalNumber,
  optionalQuantity,
  optionalShare,
  quantityOr,
  reportMisplaced,
  requiredQuantity,
  shareOr,
} from "./values.ts";

type Base = Omit<Extract<Mechanism, { readonly kind: "rotary" }>, "kind">;

/** How to read each kind of mechanism, how its output travels, and its load where that travels otherwise. */
const MECHANISM_KINDS: Readonly<
  Record<MechanismKind, { readonly travel: Travel; readonly load?: Travel; readonly read: (node: Node) => Mechanism }>
> = {
  "ball-screw": {
    travel: "linear",
    read: (node) => ({
      kind: "ball-screw",
      lead: positiveLength(node, "lead"),
      ...readScrewCheck(node),
      ...readBase(node),
    }),
  },
  "lead-screw": { travel: "linear", read: readLeadScrew },
  belt: { travel: "linear", read: (node) => ({ kind: "belt", ...readOnDiameter(node), ...readBeltPull(node) }) },
  rack: { travel: "linear", read: (node) => ({ kind: "rack", ...readOnDiameter(node), ...readPinionPush(node) }) },
  rollers: { travel: "linear", read: (node) => ({ kind: "rollers", ...readOnDiameter(node) }) },
  rotary: { travel: "rotary", read: (node) => ({ kind: "rotary", ...readBase(node) }) },
  winder: { travel: "linear", read: readWinder },
  crank: { travel: "rotary", load: "linear", read: readCrank },
  measured: { travel: "rotary", read: readMeasured },
};

/** The kind a mechanism names, if there is such a kind. */
export function mechanismKind(node: Node): MechanismKind | undefined {
  const kind = node.members["kind"];
  return isKind(kind) ? kind : undefined;
}

function isKind(kind: unknown): kind is MechanismKind {
  return typeof kind === "string" && Object.hasOwn(MECHANISM_KINDS, kind);
}

/** Reads a mechanism of a known kind with its defaults. */
export function readMechanism(node: Node, kind: MechanismKind): Mechanism {
  const { travel, read } = MECHANISM_KINDS[kind];
  const quantity = travel === "linear" ? "stiffness" : "angular-stiffness";
  return {
    ...read(node),
    ...given({ stiffness: optionalQuantity(node, "stiffness", { quantity, range: "positive" }) }),
  };
}

/** How the motion of a mechanism's axis is given. */
export function travelOf(kind: MechanismKind): Travel {
  return MECHANISM_KINDS[kind].travel;
}

/** How the load of a mechanism travels. */
export function loadTravelOf(kind: MechanismKind): Travel {
  return MECHANISM_KINDS[kind].load ?? MECHANISM_KINDS[kind].travel;
}

function positiveLength(node: Node, key: string): number {
  return requiredQuantity(node, key, { quantity: "length", range: "positive" });
}

function readOnDiameter(node: Node): Base & { readonly diameter: number } {
  return { diameter: positiveLength(node, "diameter"), ...readBase(node) };
}

function readBase(node: Node): Base {
  const efficiency = shareOr(node, "efficiency", { fallback: 1, least: ABOVE_ZERO, most: 1 });
  return { efficiency, backEfficiency: readBackEfficiency(node, efficiency), ...readInertias(node) };
}

function readBackEfficiency(node: Node, efficiency: number): number {
  const back = optionalShare(node, "back_efficiency", { least: -Infinity, most: 1 });
  if (back !== undefined) return back;
  addDefault(node, "back_efficiency", `efficiency, ${efficiency}`);
  return efficiency;
}

function readInertias(node: Node): Pick<Base, "inertia" | "dragTorque" | "couplingInertia"> {
  return {
    inertia: quantityOr(node, "inertia", { quantity: "inertia", fallback: 0 }),
    dragTorque: quantityOr(node, "drag_torque", { quantity: "torque", fallback: 0 }),
    couplingInertia: quantityOr(node, "coupling_inertia", { quantity: "inertia", fallback: 0 }),
  };
}

function readLeadScrew(node: Node): Mechanism {
  const lead = positiveLength(node, "lead");
  const check = readScrewCheck(node);
  const geometry = ["pitch_diameter", "friction_coefficient", "thread_angle"];
  if (!geometry.some((key) => has(node, key))) return { kind: "lead-screw", lead, ...check, ...readBase(node) };
  reportMisplaced(node, ["efficiency", "back_efficiency"], "either efficiencies or the thread's geometry, not both");
  for (const key of ["pitch_diameter", "friction_coefficient"].filter((name) => !has(node, name))) {
    addFault(node, missing(placeOf(node, key), "no such key", `"${key}", which goes with the thread's geometry`));
  }
  const pitchDiameter =
    optionalQuantity(node, "pitch_diameter", { quantity: "length", range: "positive" }) ?? Number.NaN;
  const frictionCoefficient = optionalNumber(node, "friction_coefficient") ?? Number.NaN;
  const threadAngle = quantityOr(node, "thread_angle", { quantity: "angle", fallback: Math.PI / 12 });
  const thread = { pitchDiameter, frictionCoefficient, threadAngle };
  const efficiencies = screwEfficiencies({ lead, ...thread });
  if (efficiencies.efficiency <= 0) {
    const found = "a thread that cannot be driven";
    addFault(node, contradiction(placeOf(node, "friction_coefficient"), found, "less friction or a larger lead angle"));
  }
  return { kind: "lead-screw", lead, ...check, ...thread, ...efficiencies, ...readInertias(node) };
}

function readWinder(node: Node): Mechanism {
  const coreDiameter = positiveLength(node, "core_diameter");
  const startDiameter = positiveLength(node, "start_diameter");
  if (startDiameter < coreDiameter) {
    addFault(node, outOfRange(placeOf(node, "start_diameter"), "less than the core", "core_diameter or more"));
  }
  return {
    kind: "winder",
    coreDiameter,
    startDiameter,
    webWidth: positiveLength(node, "web_width"),
    webDensity: requiredQuantity(node, "web_density", { quantity: "density", range: "positive" }),
    webThickness: positiveLength(node, "web_thickness"),
    tension: requiredQuantity(node, "tension", { quantity: "force", range: "not-negative" }),
    ...readBase(node),
  };
}

function readCrank(node: Node): Mechanism {
  const [radius, rod] = [positiveLength(node, "radius"), positiveLength(node, "rod")];
  const offset = quantityOr(node, "offset", { quantity: "length", fallback: 0, range: "any" });
  if (rod <= radius + Math.abs(offset)) {
    addFault(node, outOfRange(placeOf(node, "rod"), "a rod that is too short to turn", "more than radius + offset"));
  }
  const startAngle = quantityOr(node, "start_angle", { quantity: "angle", fallback: 0, range: "any" });
  return { kind: "crank", radius, rod, offset, startAngle, ...readBase(node) };
}
