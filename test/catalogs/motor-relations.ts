import { alike, COMMON, pair, type Relation, row, within } from "./relation.ts";
import { numberOf, type Part } from "./sheets.ts";

const BALANCE = "power balance of a three-phase machine: T w = 3 E I, derived";

/**
 * Line-line rms voltage that the lowest and the nominal bus can give.
 * Sources: mean of a six-pulse rectifier, 3 sqrt(2)/pi times the line voltage (textbook); the rest common practice, no source.
 */
const LINE_VOLTAGE: Readonly<Record<string, { readonly low: number; readonly nominal: number }>> = {
  "400 V": { low: (1.35 * 400 * 0.9) / Math.SQRT2, nominal: (((3 * Math.SQRT2) / Math.PI) * 400) / Math.SQRT2 },
  "230 V": { low: (1.1 * 230 * 0.9) / Math.SQRT2, nominal: (1.1 * 230) / Math.SQRT2 },
  "48 V": { low: (0.95 * 48) / Math.SQRT2, nominal: 48 / Math.SQRT2 },
};

function lineVoltage(part: Part, state: "low" | "nominal"): number {
  return LINE_VOLTAGE[part.texts["winding_for"] ?? ""]?.[state] ?? Number.NaN;
}

/** Copper from 25 degC to the winding limit. Source: 234.5 degC, standard test practice for copper (from memory). */
function hotResistance(part: Part): number {
  return ((numberOf(part, "resistance") / 2) * (234.5 + numberOf(part, "winding_limit"))) / (234.5 + 25);
}

function copperLoss(part: Part): number {
  return 3 * hotResistance(part) * (numberOf(part, "stall_torque") / numberOf(part, "torque_constant")) ** 2;
}

/** Steady state of a synchronous motor fed with current in phase with its back-EMF. Source: textbook phasor diagram. */
function voltageAt(part: Part, torque: number, speed: number): number {
  const current = torque / numberOf(part, "torque_constant");
  const along = (numberOf(part, "voltage_constant") / Math.sqrt(3)) * speed + hotResistance(part) * current;
  const across = ((speed * numberOf(part, "poles")) / 2) * (numberOf(part, "inductance") / 2) * current;
  return Math.sqrt(3) * Math.hypot(along, across);
}

function speedSlope(part: Part): number {
  return (
    (numberOf(part, "stall_torque") ** 2 - numberOf(part, "rated_torque") ** 2) / numberOf(part, "rated_speed") ** 2
  );
}

function inertiaPerTorque(part: Part): number {
  return numberOf(part, "rotor_inertia") / numberOf(part, "stall_torque");
}

function commonMultiple(a: number, b: number): number {
  let multiple = a;
  while (multiple % b !== 0) multiple += a;
  return multiple;
}

const built = (construction: string) => (part: Part) => part.texts["construction"] === construction;
const braked = (part: Part): boolean => part.texts["brake_torque"] !== "";
const sizeOf = ({ texts }: Pick<Part, "texts">): string =>
  `${texts["construction"]} ${texts["frame"]} ${texts["part"]?.split("-")[1]}`;
const windingOf = ({ texts }: Pick<Part, "texts">): string => `${sizeOf({ texts })} ${texts["part"]?.split("-")[2]}`;
const variantOf = ({ maker, texts }: Part): string =>
  [maker, texts["frame"], texts["winding_for"], texts["feedback"], texts["brake_torque"] !== ""].join(" ");

const electrical: readonly Relation[] = [
  row("motors", {
    title: "torque constant is sqrt(3) times the line-line voltage constant within 1 %",
    source: BALANCE,
    uses: ["torque_constant", "voltage_constant"],
    holds: (value) => alike(value("torque_constant"), Math.sqrt(3) * value("voltage_constant"), 0.01),
    spoil: ["torque_constant", 1.02],
  }),
  row("motors", {
    title: "the back-EMF at maximum speed stays below the lowest bus voltage",
    source: "textbook voltage balance",
    uses: ["voltage_constant", "max_speed"],
    holds: (value, part) => value("voltage_constant") * value("max_speed") < lineVoltage(part, "low"),
    spoil: ["max_speed", 1.5],
  }),
  row("motors", {
    title: "the rated point needs at most 90 % of the lowest bus voltage, and at least half",
    source: `textbook voltage balance; the shares are ${COMMON}`,
    uses: ["rated_torque", "rated_speed"],
    holds: (value, part) => {
      const share = voltageAt(part, value("rated_torque"), value("rated_speed")) / lineVoltage(part, "low");
      return within(share, 0.5, 0.9);
    },
    spoil: ["rated_speed", 1.1],
  }),
  row("motors", {
    title: "peak torque at the knee needs no more than the nominal bus voltage",
    source: "textbook voltage balance",
    uses: ["peak_knee_speed"],
    holds: (value, part) =>
      value("peak_knee_speed") <= value("max_speed") * 1.0001 &&
      voltageAt(part, value("peak_torque"), value("peak_knee_speed")) <= 1.01 * lineVoltage(part, "nominal"),
    spoil: ["peak_knee_speed", 1.1],
  }),
  row("motors", {
    title: "peak torque at maximum speed needs no more than the nominal bus voltage",
    source: "textbook voltage balance",
    uses: ["peak_torque_at_max_speed"],
    holds: (value, part) =>
      value("peak_torque_at_max_speed") <= value("peak_torque") * 1.001 &&
      voltageAt(part, value("peak_torque_at_max_speed"), value("max_speed")) <= 1.01 * lineVoltage(part, "nominal"),
    spoil: ["peak_torque_at_max_speed", 1.3],
  }),
  row("motors", {
    title: "electrical time constant is 1 to 18 ms with slots",
    source: COMMON,
    uses: ["inductance", "resistance"],
    where: (part) => !built("slotless")(part),
    holds: (value) => within(value("inductance") / value("resistance"), 1e-3, 18e-3),
    spoil: ["inductance", 0.05],
  }),
  row("motors", {
    title: "electrical time constant is 0.1 to 0.5 ms without slots",
    source: COMMON,
    uses: ["inductance", "resistance"],
    where: built("slotless"),
    holds: (value) => within(value("inductance") / value("resistance"), 1e-4, 5e-4),
    spoil: ["inductance", 10],
  }),
  pair("motors", {
    title: "all windings of a size have the same copper loss at stall torque within 1 %",
    source: "copper volume and current density do not depend on the number of turns; textbook",
    group: sizeOf,
    where: (part) => part.numbers["winding_limit"] !== undefined,
    holds: (first, second) => alike(copperLoss(first), copperLoss(second), 0.01),
    spoil: ["resistance", 1.03],
  }),
  pair("motors", {
    title: "all windings of a size have the same inductance over resistance within 2 %",
    source: "both grow with the square of the number of turns; textbook",
    group: sizeOf,
    holds: (first, second) =>
      alike(
        numberOf(first, "inductance") / numberOf(first, "resistance"),
        numberOf(second, "inductance") / numberOf(second, "resistance"),
        0.02,
      ),
    spoil: ["inductance", 1.05],
  }),
];

const torques: readonly Relation[] = [
  row("motors", {
    title: "peak torque is 2.8 to 3.5 times stall torque",
    source: COMMON,
    uses: ["peak_torque", "stall_torque"],
    holds: (value) => within(value("peak_torque") / value("stall_torque"), 2.8, 3.5),
    spoil: ["peak_torque", 1.5],
  }),
  row("motors", {
    title: "peak current is what peak torque needs, with at most 25 % for saturation",
    source: COMMON,
    uses: ["peak_current"],
    holds: (value) => within((value("peak_current") * value("torque_constant")) / value("peak_torque"), 0.99, 1.25),
    spoil: ["peak_current", 0.9],
  }),
  row("motors", {
    title: "rated torque is 70 to 99 % of stall torque, and some torque is left at maximum speed",
    source: COMMON,
    uses: ["rated_torque", "rated_speed", "max_speed"],
    holds: (value, part) =>
      within(value("rated_torque") / value("stall_torque"), 0.7, 0.99) &&
      value("rated_speed") < value("max_speed") &&
      value("stall_torque") ** 2 > speedSlope(part) * value("max_speed") ** 2,
    spoil: ["rated_torque", 1.3],
  }),
  pair("motors", {
    title: "all windings of a size lose the same with speed within 2 %",
    source: "iron and friction losses depend on speed and not on the number of turns; textbook",
    group: sizeOf,
    holds: (first, second) => alike(speedSlope(first), speedSlope(second), 0.02),
    spoil: ["rated_torque", 1.01],
  }),
  row("motors", {
    title: "heat at stall torque over housing surface and temperature rise is 10 to 25 W/(m^2 K), flange included",
    source: COMMON,
    uses: ["winding_limit", "width", "length"],
    holds: (value, part) => {
      const surface = 4 * value("width") * value("length") + value("width") ** 2;
      return within(copperLoss(part) / surface / (value("winding_limit") - 40), 10, 25);
    },
    spoil: ["resistance", 2.5],
  }),
  pair("motors", {
    title: "the motor constant grows with stall torque",
    source: COMMON,
    group: ({ texts }) => `${texts["construction"]} ${texts["frame"]}`,
    holds: (first, second) =>
      numberOf(first, "stall_torque") <= 1.1 * numberOf(second, "stall_torque") ||
      numberOf(first, "stall_torque") / Math.sqrt(copperLoss(first)) >
        numberOf(second, "stall_torque") / Math.sqrt(copperLoss(second)),
    spoil: ["resistance", 0.2],
  }),
  row("motors", {
    title: "detent torque is 2 to 5 % of stall torque in slotted motors",
    source: COMMON,
    uses: ["detent_torque"],
    where: built("slotted"),
    holds: (value) => within(value("detent_torque") / value("stall_torque"), 0.02, 0.05),
    spoil: ["detent_torque", 0.3],
  }),
  row("motors", {
    title: "detent torque is below 1 % of stall torque in closed-slot motors",
    source: COMMON,
    uses: ["detent_torque"],
    where: built("closed-slot"),
    holds: (value) => within(value("detent_torque") / value("stall_torque"), 0.004, 0.01),
    spoil: ["detent_torque", 3],
  }),
  row("motors", {
    title: "slotless motors have no detents and no slots, and frames up to 60 mm",
    source: COMMON,
    uses: ["width"],
    where: built("slotless"),
    holds: (value, { texts, numbers }) =>
      (numbers["detent_torque"] ?? 0) === 0 &&
      texts["detents"] === "" &&
      texts["slots"] === "" &&
      value("width") <= 0.06,
    spoil: ["detents", "12"],
  }),
  row("motors", {
    title: "detents per turn are the least common multiple of slots and poles",
    source: "machine-design textbooks (from memory)",
    uses: ["detents", "slots", "poles"],
    holds: (value) => value("detents") === commonMultiple(value("slots"), value("poles")),
    spoil: ["detents", 0.5],
  }),
];

const body: readonly Relation[] = [
  row("motors", {
    title: "the shaft's bearings take 5 to 15 N a millimetre of flange, sideways",
    source: COMMON,
    uses: ["radial_load", "width"],
    holds: (value) => within(value("radial_load") / (1000 * value("width")), 5, 15),
    spoil: ["radial_load", 3],
  }),
  pair("motors", {
    title: "in one frame slotted motors have least inertia per torque, slotless most",
    source: COMMON,
    group: ({ texts }) => texts["frame"] ?? "",
    holds: (first, second) => {
      const order = ["slotted", "closed-slot", "slotless"];
      const [low, high] = [first, second].map(({ texts }) => order.indexOf(texts["construction"] ?? ""));
      return (low ?? 0) >= (high ?? 0) || inertiaPerTorque(first) < inertiaPerTorque(second);
    },
    spoil: ["rotor_inertia", 5],
  }),
  row("motors", {
    title: "mass over the box of the housing is 2500 to 5500 kg/m^3",
    source: COMMON,
    uses: ["mass", "width", "length"],
    holds: (value) => within(value("mass") / (value("width") ** 2 * value("length")), 2500, 5500),
    spoil: ["mass", 3],
  }),
  row("motors", {
    title: "a brake holds 1 to 1.5 times stall torque and adds less inertia than the rotor",
    source: COMMON,
    uses: ["brake_torque", "brake_inertia"],
    holds: (value) =>
      within(value("brake_torque") / value("stall_torque"), 1, 1.5) && value("brake_inertia") < value("rotor_inertia"),
    spoil: ["brake_torque", 0.6],
  }),
  row("motors", {
    title: "a brake has torque and inertia, or the motor has none",
    source: "the columns' definition",
    uses: [],
    holds: (_value, part) =>
      braked(part) === (part.texts["brake_inertia"] !== "") && braked(part) === part.texts["part"]?.endsWith("B"),
    spoil: ["brake_torque", "1"],
  }),
  row("motors", {
    title: "a brake grips within 15 to 120 ms, the larger the later",
    source: COMMON,
    uses: ["brake_close_time", "brake_torque"],
    holds: (value) =>
      within(value("brake_close_time"), 0.015, 0.12) &&
      within(value("brake_close_time") / value("brake_torque") ** 0.38, 0.015, 0.03),
    spoil: ["brake_close_time", 3],
  }),
  row("motors", {
    title: "only a brake has a time to grip",
    source: "the columns' definition",
    uses: [],
    holds: (_value, part) => braked(part) || part.texts["brake_close_time"] === "",
    spoil: ["brake_close_time", "40"],
  }),
  row("motors", {
    title: "winding time is 10 to 60 s",
    source: COMMON,
    uses: ["winding_time"],
    holds: (value) => within(value("winding_time"), 10, 60),
    spoil: ["winding_time", 10],
  }),
  row("motors", {
    title: "housing time is 10 to 60 min",
    source: COMMON,
    uses: ["housing_time"],
    holds: (value) => within(value("housing_time"), 600, 3600),
    spoil: ["housing_time", 0.01],
  }),
  row("motors", {
    title: "the frame text names the width",
    source: "this folder's README",
    uses: ["width"],
    holds: (value, { texts }) => texts["frame"] === `F${Math.round(value("width") * 1000)}`,
    spoil: ["frame", "F99"],
  }),
  pair("motors", {
    title: "more stall torque costs more in the same frame, feedback, brake and bus",
    source: COMMON,
    group: variantOf,
    holds: (first, second) =>
      numberOf(first, "stall_torque") < 1.1 * numberOf(second, "stall_torque") ||
      numberOf(first, "price") > numberOf(second, "price"),
    spoil: ["price", 0.1],
  }),
  pair("motors", {
    title: "a brake costs more on the same winding with the same feedback",
    source: COMMON,
    group: (part) => `${windingOf(part)} ${part.texts["feedback"]}`,
    holds: (first, second) =>
      !braked(first) || braked(second) || numberOf(first, "price") > numberOf(second, "price") + 40,
    spoil: ["price", 10],
  }),
];

export const MOTOR_RELATIONS: readonly Relation[] = [...electrical, ...torques, ...body];
