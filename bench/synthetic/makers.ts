import {
  DRIVE_COLUMNS,
  GEARBOX_COLUMNS,
  INDUCTOR_COLUMNS,
  MOTOR_COLUMNS,
  RESISTOR_COLUMNS,
  SUPPLY_COLUMNS,
} from "../../catalogs/make/columns.ts";
import { withDistinctPrices } from "../../catalogs/make/distinct-prices.ts";
import { type DriveSeries, driveRows } from "../../catalogs/make/drives.ts";
import { type GearboxSeries, gearboxRows } from "../../catalogs/make/gearboxes.ts";
import type { Maker } from "../../catalogs/make/maker.ts";
import { motorRows } from "../../catalogs/make/motors.ts";
import { inductorRows } from "../../catalogs/make/passives.ts";
import { between, type Random, seeded } from "../../catalogs/make/seeded.ts";
import type { Column, Row } from "../../catalogs/make/sheet.ts";
import { motorRange } from "./motor-range.ts";
import { LOW_FAMILY, type PowerRange, resistorsFor, suppliesOf } from "./power-range.ts";
import { sampled, spreadOver } from "./sample.ts";
import { sharesOf } from "./shares.ts";
import type { Wish } from "./wish.ts";

/** Continuous currents [A rms], preferred numbers. Source: ISO 3, series R10. */
const CURRENTS = [1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8, 10, 12.5, 16, 20, 25, 31.5, 40, 50];

const GRADES = ["standard", "economy", "precision"] as const;
const RATIOS = [3, 4, 5, 7, 10, 12, 16, 20, 25, 28, 35, 40, 50, 64, 70, 80, 100];
/** Right-angle gearboxes have no third stage. */
const RATIOS_OF_TWO_STAGES = RATIOS.filter((ratio) => ![64, 80, 100].includes(ratio));
const SIZES: GearboxSeries["sizes"] = {
  40: ["F40"],
  60: ["F60", "F40"],
  80: ["F80", "F60"],
  100: ["F100", "F80", "F60"],
  130: ["F130", "F100", "F80"],
};
/** Economy and right-angle gearboxes are not built as small as others. */
const { 40: _smallest, ...LARGER } = SIZES;

/** [mH per phase, A rms]; inductances of series E6. Source: IEC 60063. */
const INDUCTORS = [1, 1.5, 2.2, 3.3, 4.7, 6.8].flatMap((inductance) => [[inductance, 16 / inductance] as const]);

/** The invented makers of a wish with all they sell, by the laws of the demonstration catalogues. */
export function syntheticMakers(wish: Wish, power: PowerRange): readonly Maker[] {
  const makers = sharesOf(wish.parts).map((counts, at) => {
    const random = seeded(`synthetic ${wish.seed} maker ${at}`);
    const code = `S${wish.seed}M${at + 1}`;
    const mains = 1 - (wish.buses === 2 ? 0.2 : 0);
    const sold = { random, code, at, mains, power };
    const supplies = suppliesOf(code, counts.supplies, power);
    return maker(at, wish, [
      ["motors", MOTOR_COLUMNS, motors(sold, counts.motors)],
      ["gearboxes", GEARBOX_COLUMNS, gearboxes(sold, counts.gearboxes)],
      ["drives", DRIVE_COLUMNS, drives(sold, counts.drives)],
      ["supplies", SUPPLY_COLUMNS, supplies],
      ["resistors", RESISTOR_COLUMNS, resistorsFor(code, counts.resistors, power)],
      ["inductors", INDUCTOR_COLUMNS, inductorRows(`${code}L-`, spreadOver(INDUCTORS, counts.inductors))],
    ]);
  });
  return withDistinctPrices(makers);
}

/** What the parts of a maker have in common. */
interface Sold {
  readonly random: Random;
  /** Begins every part number. */
  readonly code: string;
  /** Index of the maker. */
  readonly at: number;
  /** Share of motors and drives for rectified mains; the others are for 48 V. */
  readonly mains: number;
  readonly power: PowerRange;
}

type Kind = Maker["sheets"][number]["kind"];

function maker(
  at: number,
  { hasPriceSteps }: Wish,
  sheets: readonly (readonly [Kind, readonly Column[], readonly Row[]])[],
): Maker {
  const kept = (columns: readonly Column[]): readonly Column[] =>
    hasPriceSteps ? columns : columns.filter(({ name }) => !name.startsWith("price_"));
  const name = String(at + 1).padStart(2, "0");
  return {
    slug: `synthetic-${name}`,
    name: `Synthetic ${name}`,
    sheets: sheets.map(([kind, columns, rows]) => ({ kind, columns: kept(columns), rows })),
  };
}

function motors({ random, code, at, mains }: Sold, count: number): Row[] {
  const rows = motorRows(motorRange(`${code}T`, at, between(random, 0.75, 1.3)));
  const low = rows.filter((row) => row["winding_for"] === "48 V");
  const many = Math.min(low.length, Math.round((1 - mains) * count));
  const others = rows.filter((row) => row["winding_for"] !== "48 V");
  return [...sampled(others, count - many, random), ...sampled(low, many, random)];
}

function gearboxes({ random, code, at }: Sold, count: number): Row[] {
  const series = GRADES.flatMap((_, turn) => {
    const grade = GRADES[(at + turn) % GRADES.length] ?? "standard";
    return (["inline", "right-angle"] as const).map((kind) => ({ grade, kind }));
  });
  const rows = series.flatMap(({ grade, kind }) =>
    gearboxRows({
      prefix: `${code}${kind === "inline" ? "P" : "A"}${grade.charAt(0).toUpperCase()}`,
      kind,
      grade,
      sizes: kind === "inline" && grade !== "economy" ? SIZES : LARGER,
      ratios: kind === "inline" ? RATIOS : RATIOS_OF_TWO_STAGES,
      leadTime: [12, 40],
    }),
  );
  // A maker is strong in the first series before it has the others.
  const strong = rows.slice(0, Math.max(count, Object.keys(SIZES).length * RATIOS.length));
  return sampled(strong, count, random);
}

function drives({ random, code, mains }: Sold, count: number): Row[] {
  const low = Math.round((1 - mains) * count);
  const double = Math.min(11, Math.floor((count - low) / 3));
  const common = {
    commutation: "sinusoidal",
    maxFrequency: 600,
    fieldbus: "ethernet",
    safeTorqueOff: "yes",
    priceFactor: between(random, 0.85, 1.15),
  } as const satisfies Partial<DriveSeries>;
  const single = Math.min(CURRENTS.length, count - low - double);
  const rest = count - low - double - single;
  return [
    ...driveRows({
      ...common,
      prefix: `${code}D-`,
      bus: "400 V",
      feedback: ["encoder-absolute", "encoder-multiturn", "resolver"],
      single: spreadOver(CURRENTS, single),
      double: spreadOver(CURRENTS.slice(0, 11), double),
      switching: [16, 8],
    }),
    ...driveRows({
      ...common,
      prefix: `${code}E-`,
      bus: "48 V",
      family: LOW_FAMILY,
      feedback: ["encoder-hall", "encoder-absolute"],
      single: spreadOver(CURRENTS, low + rest),
      double: [],
      switching: [40, 20],
    }),
  ];
}
