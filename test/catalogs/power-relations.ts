import { COMMON, pair, type Relation, row, within } from "./relation.ts";
import { numberOf, type Part } from "./sheets.ts";

/** Highest bus of a class: the rectified peak of the highest mains with 10 % more; 48 V is regulated. [V] */
const HIGHEST_BUS: Readonly<Record<number, number>> = {
  850: Math.SQRT2 * 480 * 1.1,
  420: Math.SQRT2 * 240 * 1.1,
  75: 48,
};

/** Lowest bus: rectified mean of the lowest mains with 10 % less, 5 % less at 48 V. Source: six-pulse mean 3 sqrt(2)/pi (textbook). */
const LOWEST_BUS: Readonly<Record<number, number>> = {
  850: ((3 * Math.SQRT2) / Math.PI) * 380 * 0.9,
  420: 1.1 * 200 * 0.9,
  75: 0.95 * 48,
};

const FEEDBACK = ["hall", "encoder-incremental", "encoder-hall", "encoder-absolute", "encoder-multiturn", "resolver"];

/** IEC 60063, series E12 and E6 (its every second value). */
const E12 = [1, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2];
const E6 = E12.filter((_value, index) => index % 2 === 0);
/** ISO 3, series R10. */
const R10 = [1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8];

function isPreferred(value: number, series: readonly number[]): boolean {
  const decade = 10 ** Math.floor(Math.log10(value) + 1e-9);
  return series.some((preferred) => Math.abs(value / decade - preferred) < 1e-6);
}

const driveSeries = ({ maker, texts }: Part): string =>
  [maker, texts["bus_max"], texts["channels"], texts["commutation"]].join(" ");
const resistive = (part: Part): boolean => part.texts["feeds_back"] === "no";

function storedEnergy(part: Part): number {
  return numberOf(part, "inductance") * numberOf(part, "continuous_current") ** 2;
}

const drives: readonly Relation[] = [
  row("drives", {
    title: "continuous current is 1.5 to 50 A with a peak of 2 to 3 times",
    source: COMMON,
    uses: ["continuous_current", "peak_current"],
    holds: (value) =>
      within(value("continuous_current"), 1.5, 50) &&
      within(value("peak_current") / value("continuous_current"), 2, 3.1),
    spoil: ["peak_current", 0.5],
  }),
  row("drives", {
    title: "currents of the broad range are preferred numbers",
    source: "ISO 3, R10",
    uses: ["continuous_current"],
    where: ({ maker }) => maker === "dunmarrow",
    holds: (value) => isPreferred(value("continuous_current"), R10),
    spoil: ["continuous_current", 1.1],
  }),
  row("drives", {
    title: "the bus range of a class covers its mains with tolerance",
    source: "rectifier mean and peak, textbook",
    uses: ["bus_max", "bus_min"],
    holds: (value) =>
      value("bus_max") > (HIGHEST_BUS[value("bus_max")] ?? Number.NaN) &&
      value("bus_min") < (LOWEST_BUS[value("bus_max")] ?? Number.NaN),
    spoil: ["bus_min", 3],
  }),
  row("drives", {
    title: "the switching frequency is 8 to 16 kHz on mains and 16 to 40 kHz on 48 V",
    source: COMMON,
    uses: ["switching_frequency", "bus_max"],
    holds: (value) =>
      value("bus_max") > 100
        ? within(value("switching_frequency"), 8e3, 16e3)
        : within(value("switching_frequency"), 16e3, 40e3),
    spoil: ["switching_frequency", 0.1],
  }),
  row("drives", {
    title: "losses are 1.5 to 4 W per ampere and 5 to 60 W fixed",
    source: COMMON,
    uses: ["loss_per_amp", "fixed_loss"],
    holds: (value) => within(value("loss_per_amp"), 1.5, 4) && within(value("fixed_loss"), 5, 60),
    spoil: ["loss_per_amp", 3],
  }),
  row("drives", {
    title: "feedback kinds are known ones, and six-step drives take Hall signals only",
    source: COMMON,
    uses: [],
    holds: (_value, { texts }) => {
      const kinds = (texts["feedback"] ?? "").split(";");
      const halls = kinds.every((kind) => ["hall", "encoder-hall"].includes(kind));
      return kinds.every((kind) => FEEDBACK.includes(kind)) && (texts["commutation"] === "six-step") === halls;
    },
    spoil: ["feedback", "hall;tachometer"],
  }),
  pair("drives", {
    title: "more current costs more and is wider in the same series",
    source: COMMON,
    group: driveSeries,
    holds: (first, second) =>
      numberOf(first, "continuous_current") <= numberOf(second, "continuous_current") ||
      first.texts["fieldbus"] !== second.texts["fieldbus"] ||
      ["price", "width", "capacitance"].every((column) => numberOf(first, column) > numberOf(second, column)),
    spoil: ["price", 50],
  }),
  pair("drives", {
    title: "two channels cost less than two modules and more than one",
    source: COMMON,
    group: ({ maker, texts }) => [maker, texts["part"]?.split("x")[0]].join(" "),
    holds: (first, second) =>
      numberOf(first, "channels") <= numberOf(second, "channels") ||
      within(numberOf(first, "price") / numberOf(second, "price"), 1.3, 1.9),
    spoil: ["price", 3],
  }),
];

const supplies: readonly Relation[] = [
  row("supplies", {
    title: "the chopper voltage is empty only when it feeds back",
    source: "the columns' definition",
    uses: [],
    holds: (_value, { texts }) => (texts["feeds_back"] === "yes") === (texts["chopper_voltage"] === ""),
    spoil: ["feeds_back", "yes"],
  }),
  row("supplies", {
    title: "the chopper stays shut at the highest mains, and opens below what its drives stand",
    source: "rectified peak sqrt(2) U, textbook",
    uses: ["chopper_voltage"],
    holds: (value, { texts, numbers }) => {
      const regulated = numbers["bus_voltage"];
      const highest = regulated ?? Math.SQRT2 * value("mains_max") * 1.1;
      const stands = regulated === undefined ? (texts["phases"] === "3" ? 850 : 420) : 75;
      return value("chopper_voltage") > highest && value("chopper_voltage") < stands;
    },
    spoil: ["chopper_voltage", 0.8],
  }),
  row("supplies", {
    title: "mains are 380 to 480 V with three phases and 200 to 240 V with one",
    source: COMMON,
    uses: ["mains", "mains_max", "phases"],
    holds: (value) =>
      value("phases") === 3
        ? value("mains") === 380 && value("mains_max") === 480
        : value("mains") === 200 && value("mains_max") === 240,
    spoil: ["mains", 2],
  }),
  row("supplies", {
    title: "peak power is 1.4 to 2.4 times continuous power",
    source: COMMON,
    uses: ["peak_power", "continuous_power"],
    holds: (value) => within(value("peak_power") / value("continuous_power"), 1.4, 2.4),
    spoil: ["peak_power", 0.5],
  }),
  row("supplies", {
    title: "the smallest resistor takes 1 to 2 times the peak power",
    source: `P = U^2/R; the share is ${COMMON}`,
    uses: ["min_resistance", "chopper_voltage"],
    where: resistive,
    holds: (value) => within(value("chopper_voltage") ** 2 / value("min_resistance") / value("peak_power"), 1, 2),
    spoil: ["min_resistance", 3],
  }),
  row("supplies", {
    title: "a resistor of its own takes less than the smallest resistor would",
    source: "P = U^2/R",
    uses: ["internal_resistor_peak", "internal_resistor_continuous"],
    where: resistive,
    holds: (value) =>
      value("internal_resistor_peak") < value("chopper_voltage") ** 2 / value("min_resistance") &&
      value("internal_resistor_continuous") < 0.1 * value("internal_resistor_peak"),
    spoil: ["internal_resistor_peak", 3],
  }),
  pair("supplies", {
    title: "more power costs more and is wider, and feeding back costs more still",
    source: COMMON,
    group: ({ maker, texts }) => [maker, texts["bus_family"], texts["phases"]].join(" "),
    holds: (first, second) =>
      numberOf(first, "continuous_power") <= numberOf(second, "continuous_power") ||
      (resistive(first) && !resistive(second)) ||
      ["price", "width"].every((column) => numberOf(first, column) > numberOf(second, column)),
    spoil: ["price", 50],
  }),
];

const passives: readonly Relation[] = [
  row("resistors", {
    title: "resistances are preferred numbers",
    source: "IEC 60063, E12",
    uses: ["resistance"],
    holds: (value) => isPreferred(value("resistance"), E12),
    spoil: ["resistance", 1.1],
  }),
  row("resistors", {
    title: "peak power is 15 to 80 times continuous power, and the pulse 20 to 35 s of continuous power",
    source: COMMON,
    uses: ["peak_power", "continuous_power", "pulse_energy"],
    holds: (value) =>
      within(value("peak_power") / value("continuous_power"), 15, 80) &&
      within(value("pulse_energy") / value("continuous_power"), 20, 35),
    spoil: ["peak_power", 0.1],
  }),
  pair("resistors", {
    title: "more continuous power costs more",
    source: COMMON,
    group: ({ maker }) => maker,
    holds: (first, second) =>
      numberOf(first, "continuous_power") <= numberOf(second, "continuous_power") ||
      numberOf(first, "price") > numberOf(second, "price"),
    spoil: ["price", 50],
  }),
  row("inductors", {
    title: "inductances are preferred numbers",
    source: "IEC 60063, E6",
    uses: ["inductance"],
    holds: (value) => isPreferred(value("inductance") * 1e3, E6),
    spoil: ["inductance", 1.2],
  }),
  pair("inductors", {
    title: "price grows with L I^2",
    source: `stored energy, L I^2/2, sets the core size; ${COMMON}`,
    group: ({ maker }) => maker,
    holds: (first, second) => {
      return storedEnergy(first) < 1.1 * storedEnergy(second) || numberOf(first, "price") > numberOf(second, "price");
    },
    spoil: ["price", 50],
  }),
];

export const POWER_RELATIONS: readonly Relation[] = [...drives, ...supplies, ...passives];
