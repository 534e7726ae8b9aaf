import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { makeCatalogs } from "../../catalogs/make/catalogs.ts";
import {
  allParts,
  CATALOGS,
  catalogJson,
  cellsOf,
  columnOf,
  KINDS,
  type Kind,
  MAKERS,
  numberOf,
  ourHeaders,
  type Part,
} from "./sheets.ts";

const PARTS = await allParts();
const of = (kind: Kind): Part[] => PARTS.filter((part) => part.kind === kind);
const values = (kind: Kind, column: string): Set<string> => new Set(of(kind).map(({ texts }) => texts[column] ?? ""));
const sheets = MAKERS.flatMap((maker) =>
  KINDS.filter((kind) => readdirSync(join(CATALOGS, maker)).includes(`${kind}.csv`)).map((kind) => ({ maker, kind })),
);

/** Columns of the catalogue format; `?` marks what may be empty, `+` text columns of these catalogues' own. */
const FORMAT: Readonly<Record<Kind, string>> = {
  motors: `part frame construction feedback poles stall_torque rated_torque rated_speed peak_torque peak_current? peak_time?
    max_speed peak_knee_speed? peak_torque_at_max_speed? torque_constant voltage_constant resistance inductance rotor_inertia
    detent_torque? detents? friction_torque? winding_time? housing_time? winding_share? winding_limit? reference_ambient?
    mass length width brake_torque? brake_inertia? brake_close_time? resolution? ip? radial_load? slots+ winding_for+`,
  gearboxes: `part frame motor_frames kind ratio efficiency back_efficiency? inertia rated_torque acceleration_torque
    emergency_torque? rated_input_speed max_input_speed backlash stiffness? drag_torque? mass length? radial_load? stages+ grade+`,
  drives: `part channels continuous_current peak_current peak_time bus_max bus_min? bus_family? feedback commutation
    switching_frequency max_frequency? fixed_loss loss_per_amp capacitance width fieldbus+ safe_torque_off+`,
  supplies: `part mains mains_max? phases bus_voltage? continuous_power peak_power peak_time? capacitance chopper_voltage?
    min_resistance? max_capacitance? internal_resistor_peak? internal_resistor_continuous? bus_family? feeds_back width`,
  resistors: "part resistance continuous_power peak_power pulse_energy?",
  inductors: "part inductance continuous_current",
};
const PRICED = "price price_10? price_50? lead_time?";

function formatOf(kind: Kind): { readonly names: string[]; readonly required: string[] } {
  const words = `${FORMAT[kind]} ${PRICED}`.split(/\s+/);
  return {
    names: words.map((word) => word.replace(/[?+]$/, "")).toSorted(),
    required: words.filter((word) => !/[?+]$/.test(word)),
  };
}

function motorHeader(maker: string): string {
  return readFileSync(join(CATALOGS, maker, "motors.csv"), "utf8").split("\n")[0] ?? "";
}

describe("the files", () => {
  test("are what the script makes, byte for byte, and nothing else lies beside them", () => {
    const made = makeCatalogs();
    const lying = MAKERS.flatMap((maker) => readdirSync(join(CATALOGS, maker)).map((file) => `${maker}/${file}`));
    expect(new Set(made.keys())).toEqual(new Set(lying));
    expect(lying.filter((path) => made.get(path) !== readFileSync(join(CATALOGS, path), "utf8"))).toEqual([]);
  });

  test("come out the same twice", () => {
    expect([...makeCatalogs()]).toEqual([...makeCatalogs()]);
  });

  test.each(sheets)(
    "$maker $kind has exactly the columns of the format, its required cells filled",
    async ({ maker, kind }) => {
      const [headers = []] = await cellsOf(readFileSync(join(CATALOGS, maker, `${kind}.csv`), "utf8"));
      const { names, required } = formatOf(kind);
      const found = ourHeaders(maker, kind, headers).map((header) => columnOf(header).name);
      expect(found.toSorted()).toEqual(names);
      const rows = of(kind).filter((part) => part.maker === maker);
      expect(rows.flatMap(({ texts }) => required.filter((column) => (texts[column] ?? "") === ""))).toEqual([]);
    },
  );

  test.each(MAKERS)("%s says that it is invented, in euro", (maker) => {
    const { currency, date, note } = catalogJson(maker);
    expect({ currency, date, note }).toEqual({
      currency: "EUR",
      date: expect.stringMatching(/^\d{4}-\d{2}-\d{2}$/),
      note: expect.stringMatching(/^invented .* for demonstration$/),
    });
  });

  test("use foreign units in one folder and a mapping in another", () => {
    expect(motorHeader("plimwickel")).toContain("[lbf*in]");
    expect(Object.values(catalogJson("zefferlode").columns?.["motors"] ?? {})).toContain("stall_torque [ozf*in]");
    expect(motorHeader("zefferlode")).not.toContain("stall_torque");
  });

  test("hold no cell that a spreadsheet would take for a formula", () => {
    expect(PARTS.flatMap(({ texts }) => Object.values(texts)).filter((cell) => /^[=+@\t\r-]/.test(cell))).toEqual([]);
  });
});

describe("the range", () => {
  test.each([
    ["motors", 180, 300],
    ["gearboxes", 110, 180],
    ["drives", 30, 50],
    ["supplies", 10, 20],
    ["resistors", 8, 15],
    ["inductors", 6, 10],
  ] as const)("has enough %s: %i to %i", (kind, low, high) => {
    expect(of(kind).length).toBeGreaterThanOrEqual(low);
    expect(of(kind).length).toBeLessThanOrEqual(high);
  });

  test("covers every construction, feedback, frame and bus, with and without brake", () => {
    expect(values("motors", "construction")).toEqual(new Set(["slotted", "slotless", "closed-slot"]));
    expect(values("motors", "feedback")).toEqual(
      new Set(["hall", "encoder-incremental", "encoder-hall", "encoder-absolute", "encoder-multiturn", "resolver"]),
    );
    expect(values("motors", "frame")).toEqual(new Set(["F40", "F60", "F80", "F100", "F130", "F160"]));
    expect(values("motors", "winding_for")).toEqual(new Set(["400 V", "230 V", "48 V"]));
    const braked = of("motors").filter(({ texts }) => texts["brake_torque"] !== "").length;
    expect(braked / of("motors").length).toBeGreaterThan(0.25);
    expect(braked / of("motors").length).toBeLessThan(0.6);
  });

  test("covers gearbox kinds and stages, drive channels and commutation, supply kinds", () => {
    expect(values("gearboxes", "kind")).toEqual(new Set(["inline", "right-angle"]));
    expect(values("gearboxes", "stages")).toEqual(new Set(["1", "2", "3"]));
    expect(values("drives", "channels")).toEqual(new Set(["1", "2"]));
    expect(values("drives", "commutation")).toEqual(new Set(["sinusoidal", "six-step"]));
    expect(values("drives", "bus_max")).toEqual(new Set(["850", "420", "75"]));
    expect(values("supplies", "feeds_back")).toEqual(new Set(["yes", "no"]));
    expect(values("supplies", "phases")).toEqual(new Set(["1", "3"]));
    expect(values("supplies", "bus_voltage")).toEqual(new Set(["", "48"]));
  });

  test("gives every part a number of its own and a price of its own within its kind", () => {
    expect(new Set(PARTS.map(({ texts }) => texts["part"])).size).toBe(PARTS.length);
    const prices = PARTS.map(({ kind, texts }) => `${kind} ${texts["price"]}`);
    expect(prices.filter((price, index) => prices.indexOf(price) !== index)).toEqual([]);
  });

  test("leaves 1 to 8 % of the scattered optional cells empty, each of these somewhere", () => {
    const scattered: readonly (readonly [Kind, string])[] = [
      ["motors", "peak_current"],
      ["motors", "winding_time"],
      ["motors", "housing_time"],
      ["motors", "friction_torque"],
      ["motors", "resolution"],
      ["motors", "lead_time"],
      ["gearboxes", "emergency_torque"],
      ["gearboxes", "stiffness"],
      ["gearboxes", "back_efficiency"],
      ["drives", "max_frequency"],
    ];
    const cells = scattered.map(([kind, column]) => of(kind).map(({ texts }) => texts[column] === ""));
    expect(cells.map((empty) => empty.includes(true))).toEqual(scattered.map(() => true));
    const share = cells.flat().filter(Boolean).length / cells.flat().length;
    expect(share).toBeGreaterThan(0.01);
    expect(share).toBeLessThan(0.08);
    const slotted = of("motors").filter(({ texts }) => texts["construction"] !== "slotless");
    expect(slotted.filter(({ texts }) => texts["detents"] === "").length).toBeGreaterThan(0);
  });
});

const BUS_MAX: Readonly<Record<string, number>> = { "400 V": 850, "230 V": 420, "48 V": 75 };

/** Drives of a motor's voltage that read its feedback and carry its stall current. */
function drivesFor(motor: Part): Part[] {
  const current = numberOf(motor, "stall_torque") / numberOf(motor, "torque_constant");
  return of("drives").filter(
    (drive) =>
      numberOf(drive, "bus_max") === BUS_MAX[motor.texts["winding_for"] ?? ""] &&
      drive.texts["feedback"]?.split(";").includes(motor.texts["feedback"] ?? "") &&
      numberOf(drive, "continuous_current") >= current &&
      (drive.numbers["max_frequency"] ?? Number.POSITIVE_INFINITY) >=
        ((numberOf(motor, "max_speed") / (2 * Math.PI)) * numberOf(motor, "poles")) / 2,
  );
}

/**
 * RMS ripple current over stall current, with a series inductor [H].
 * Source: worst case of a two-level inverter, 0.02515 U/(L f) for space-vector modulation (derived numerically);
 * triangle of a half-bridge U/(4 L f), rms 1/sqrt(12), for six-step.
 */
function rippleShare(motor: Part, drive: Part, series: number): number {
  const bus =
    { "400 V": Math.SQRT2 * 440, "230 V": Math.SQRT2 * 253, "48 V": 48 }[motor.texts["winding_for"] ?? ""] ??
    Number.NaN;
  const factor = drive.texts["commutation"] === "six-step" ? 1 / 8 / Math.sqrt(12) : 0.02515;
  const inductance = numberOf(motor, "inductance") / 2 + series;
  const ripple = (factor * bus) / inductance / numberOf(drive, "switching_frequency");
  return ripple / (numberOf(motor, "stall_torque") / numberOf(motor, "torque_constant"));
}

function smallestRipple(motor: Part, inductances: readonly number[]): number {
  return Math.min(
    ...drivesFor(motor).flatMap((drive) => inductances.map((series) => rippleShare(motor, drive, series))),
  );
}

describe("parts find each other", () => {
  test("every motor has a drive for its bus, feedback, stall current and electrical frequency", () => {
    const lonely = of("motors").filter((motor) => drivesFor(motor).length === 0);
    expect(lonely.map(({ texts }) => texts["part"])).toEqual([]);
  });

  test("every motor frame has gearboxes of at least five ratios", () => {
    const ratios = [...values("motors", "frame")].map((frame) => {
      const fitting = of("gearboxes").filter(({ texts }) => texts["motor_frames"]?.split(";").includes(frame));
      return new Set(fitting.map(({ texts }) => texts["ratio"])).size;
    });
    expect(Math.min(...ratios)).toBeGreaterThanOrEqual(5);
  });

  test("every supply that does not feed back has a resistor it may drive and that takes a third of its peak", () => {
    const lonely = of("supplies").filter(({ texts, numbers }) => {
      const fits = (resistance: number): boolean =>
        resistance >= (numbers["min_resistance"] ?? 0) &&
        (numbers["chopper_voltage"] ?? 0) ** 2 / resistance >= (numbers["peak_power"] ?? 0) / 3;
      return (
        texts["feeds_back"] === "no" && !of("resistors").some((resistor) => fits(numberOf(resistor, "resistance")))
      );
    });
    expect(lonely.map(({ texts }) => texts["part"])).toEqual([]);
  });

  test("motors with slots keep 20 % ripple current on some drive alone; some slotless ones need an inductor, none is lost", () => {
    const inductances = of("inductors").map((inductor) => numberOf(inductor, "inductance"));
    const slotless = of("motors").filter(({ texts }) => texts["construction"] === "slotless");
    const rough = of("motors").filter((motor) => smallestRipple(motor, [0]) > 0.2);
    expect(rough.every((motor) => slotless.includes(motor))).toBe(true);
    expect(rough.length).toBeGreaterThan(5);
    expect(rough.length).toBeLessThan(slotless.length);
    expect(rough.filter((motor) => smallestRipple(motor, inductances) > 0.2)).toEqual([]);
  });
});
