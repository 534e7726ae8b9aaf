import { COMMON, pair, type Relation, row, within } from "./relation.ts";
import { numberOf, type Part } from "./sheets.ts";

/** About 97 % for one planetary stage, 94 % for two, 91 % for three; a bevel stage takes 2 to 3 % more. */
const INLINE_EFFICIENCY: Readonly<Record<number, readonly [number, number]>> = {
  1: [0.96, 0.98],
  2: [0.93, 0.95],
  3: [0.9, 0.92],
};

/** [arcmin] */
const BACKLASH: Readonly<Record<string, readonly [number, number]>> = {
  economy: [8, 20],
  standard: [5, 13],
  precision: [1, 5],
};

const seriesOf = ({ maker, texts }: Part): string => `${maker} ${texts["kind"]} ${texts["grade"]}`;
const widthOf = (frame: string): number => Number(frame.slice(1));

export const GEARBOX_RELATIONS: readonly Relation[] = [
  row("gearboxes", {
    title: "the output bearings take 0.25 to 0.55 N a square millimetre of flange, sideways",
    source: COMMON,
    uses: ["radial_load"],
    holds: (value, { texts }) => within(value("radial_load") / widthOf(texts["frame"] ?? "") ** 2, 0.25, 0.55),
    spoil: ["radial_load", 3],
  }),
  row("gearboxes", {
    title: "ratios run from 3 to 100, up to 10 in one stage and up to 70 in two",
    source: COMMON,
    uses: ["ratio", "stages"],
    holds: (value) =>
      within(value("ratio"), 3, 100) &&
      value("stages") === (value("ratio") <= 10 ? 1 : [64, 80, 100].includes(value("ratio")) ? 3 : 2),
    spoil: ["ratio", 0.5],
  }),
  row("gearboxes", {
    title: "efficiency is about 97, 94, 91 % by stages, 2 to 3 % less at a right angle",
    source: COMMON,
    uses: ["efficiency", "stages"],
    holds: (value, { texts }) => {
      const [low, high] = INLINE_EFFICIENCY[value("stages")] ?? [0, 0];
      const bevel = texts["kind"] === "right-angle" ? 0.025 : 0;
      return within(value("efficiency") + bevel, low, high);
    },
    spoil: ["efficiency", 1.03],
  }),
  row("gearboxes", {
    title: "driven backwards it is a little less efficient",
    source: "equal tooth loss both ways gives 2 - 1/efficiency, derived",
    uses: ["efficiency", "back_efficiency"],
    holds: (value) => within(value("efficiency") - value("back_efficiency"), 0, 0.02),
    spoil: ["back_efficiency", 0.9],
  }),
  row("gearboxes", {
    title: "acceleration torque is 1.5 to 2 times rated torque",
    source: COMMON,
    uses: ["acceleration_torque", "rated_torque"],
    holds: (value) => within(value("acceleration_torque") / value("rated_torque"), 1.5, 2.05),
    spoil: ["acceleration_torque", 1.5],
  }),
  row("gearboxes", {
    title: "emergency torque is 2.8 to 4.1 times rated torque",
    source: COMMON,
    uses: ["emergency_torque", "rated_torque"],
    holds: (value) => within(value("emergency_torque") / value("rated_torque"), 2.8, 4.1),
    spoil: ["emergency_torque", 0.5],
  }),
  row("gearboxes", {
    title: "rated torque over the cube of the width is 50 to 170 kN*m/m^3",
    source: COMMON,
    uses: ["rated_torque"],
    holds: (value, { texts }) =>
      within(value("rated_torque") / (widthOf(texts["frame"] ?? "") / 1000) ** 3, 50e3, 170e3),
    spoil: ["rated_torque", 4],
  }),
  row("gearboxes", {
    title: "backlash follows the grade",
    source: COMMON,
    uses: ["backlash"],
    holds: (value, { texts }) => {
      const [low, high] = BACKLASH[texts["grade"] ?? ""] ?? [0, 0];
      return within(value("backlash") / 2.908882e-4, low - 1e-6, high + 1e-6);
    },
    spoil: ["backlash", 5],
  }),
  row("gearboxes", {
    title: "input speeds are 3000 to 4000 rpm rated and 6000 to 8000 rpm at most",
    source: COMMON,
    uses: ["rated_input_speed", "max_input_speed"],
    holds: (value) =>
      within(value("rated_input_speed") / 0.1047198, 2999, 4001) &&
      within(value("max_input_speed") / 0.1047198, 5999, 8001),
    spoil: ["max_input_speed", 0.5],
  }),
  row("gearboxes", {
    title: "it fits motors of its own size and smaller, by frames that motors have",
    source: COMMON,
    uses: [],
    holds: (_value, { texts }) => {
      const own = widthOf(texts["frame"] ?? "");
      const fits = (texts["motor_frames"] ?? "").split(";");
      return (
        fits.includes(`F${own}`) &&
        fits.every((frame) => ["F40", "F60", "F80", "F100", "F130", "F160"].includes(frame) && widthOf(frame) <= own)
      );
    },
    spoil: ["motor_frames", "F60;F200"],
  }),
  row("gearboxes", {
    title: "mass over the cube of the width is 2500 to 11000 kg/m^3",
    source: COMMON,
    uses: ["mass"],
    holds: (value, { texts }) => within(value("mass") / (widthOf(texts["frame"] ?? "") / 1000) ** 3, 2500, 11000),
    spoil: ["mass", 5],
  }),
  pair("gearboxes", {
    title: "a wider gearbox of the same series and ratio carries more, is heavier, has more inertia and costs more",
    source: COMMON,
    group: (part) => `${seriesOf(part)} ${part.texts["ratio"]}`,
    holds: (first, second) =>
      widthOf(first.texts["frame"] ?? "") <= widthOf(second.texts["frame"] ?? "") ||
      ["rated_torque", "mass", "inertia", "price"].every(
        (column) => numberOf(first, column) > numberOf(second, column),
      ),
    spoil: ["mass", 100],
  }),
  pair("gearboxes", {
    title: "more stages cost more in the same series and size",
    source: COMMON,
    group: (part) => `${seriesOf(part)} ${part.texts["frame"]}`,
    holds: (first, second) =>
      numberOf(first, "stages") <= numberOf(second, "stages") || numberOf(first, "price") > numberOf(second, "price"),
    spoil: ["price", 10],
  }),
];
