import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, test } from "vitest";
import { faultLine, sortFaults } from "../../src/faults/fault-line.ts";
import type { CatalogueReading } from "../../src/input/catalogue-reading.ts";
import { type CataloguesRead, readCatalogues } from "../../src/input/read-catalogues.ts";
import { loadSchema, type SchemaCheck } from "../../src/input/schema-faults.ts";
import { loadUnits, type UnitReader } from "../../src/units/load-units.ts";

const fixtures = fileURLToPath(new URL("fixtures/", import.meta.url));
let units: UnitReader;
let checkAbout: SchemaCheck;
beforeAll(async () => {
  units = await loadUnits();
  checkAbout = await loadSchema("catalog");
});

async function readFolders(
  folders: readonly string[],
  currency = "EUR",
): Promise<{ shelf: CatalogueReading; read: CataloguesRead; lines: string[] }> {
  const shelf: CatalogueReading = { units, checkAbout, faults: [], cautions: [], defaults: new Map() };
  const named = folders.map((label, index) => ({
    label,
    path: `${fixtures}${label}`,
    place: { file: "p.json", pointer: `/catalogs/${index}` },
  }));
  const read = await readCatalogues(shelf, named, currency);
  return { shelf, read, lines: sortFaults(shelf.faults).map((fault) => faultLine(fault).replaceAll(fixtures, "")) };
}

describe("a sound folder", () => {
  test("gives parts in SI, prices in cents, other columns as text", async () => {
    const { read, lines } = await readFolders(["maker"]);
    expect(lines).toEqual([]);
    const { motors, gearboxes, drives, supplies } = read.catalogue;
    expect(motors.map(({ part }) => part)).toEqual(["T60", "T60-B", "TL40"]);
    expect(motors[0]).toMatchObject({
      maker: "Testmaker",
      prices: [
        { from: 1, price: 21_550 },
        { from: 10, price: 20_100 },
      ],
      leadTime: 15,
      stallTorque: 1.3,
      mass: 1.4,
      windingLimit: 130,
      referenceAmbient: 40,
      brakeInertia: 0,
    });
    expect(motors[0]?.ratedSpeed).toBeCloseTo(100 * Math.PI, 9);
    expect(motors[0]?.rotorInertia).toBeCloseTo(0.28e-4, 15);
    expect(motors[0]?.texts["colour"]).toBe("blue");
    expect(motors[0]).not.toHaveProperty("brakeTorque");
    expect(gearboxes[0]).toMatchObject({ motorFrames: ["F60", "F40"], style: "inline", backEfficiency: 0.97 });
    expect(gearboxes[0]?.backlash).toBeCloseTo((8 / 60 / 180) * Math.PI, 12);
    expect(drives[0]).toMatchObject({ feedback: ["resolver", "encoder-absolute"], lossPerAmp: 3, width: 0.055 });
    expect(supplies).toMatchObject([
      { mainsMax: 400, feedsBack: false, chopperVoltage: 780, peakPower: 6000 },
      { mainsMax: 400, feedsBack: true },
    ]);
  });

  test("an empty step cell leaves the lower step in force; the last digits of a mapped imperial column agree", async () => {
    const { read } = await readFolders(["maker"]);
    const [, braked] = read.catalogue.motors;
    expect(braked?.prices).toEqual([{ from: 1, price: 30_125 }]);
    // 283.2 ozf·in; 1 ozf·in = 7.061552E-03 N·m, NIST SP 811 (2008), appendix B.8.
    expect(braked?.brakeTorque).toBeCloseTo(283.2 * 7.061552e-3, 6);
    expect(braked?.texts["brake_torque"]).toBe("283.2");
  });

  test("an empty detent cell is 0 on a slotless motor only where the maker leaves it empty", async () => {
    const { read } = await readFolders(["maker"]);
    expect(read.catalogue.motors.map(({ detentTorque }) => detentTorque)).toEqual([0.02, 0.02, 0]);
  });
});

test("every fault of a folder is reported with file, row and column", async () => {
  const { lines } = await readFolders(["faulty-maker"]);
  expect(lines).toEqual([
    'faulty-maker/catalog.json /columns/motors: found "no such header", expected a header of faulty-maker/motors.csv',
    'faulty-maker/drives.csv:1 [bus_max]: found no unit, expected a voltage with its unit in the header, such as "bus_max [V]"',
    'faulty-maker/drives.csv:1 [continuous_current [N*m]]: found [N*m], expected a current with its unit in the header, such as "continuous_current [A]"',
    'faulty-maker/drives.csv:1 [price [USD]]: found [USD], expected the currency of catalog.json, "price [EUR]"',
    'faulty-maker/drives.csv:1 [price_1 [EUR]]: found "price_1", expected a step of 2 or more, such as price_10 (nearest: "price")',
    'faulty-maker/drives.csv:1 [width [mm]]: found column "width" a second time, expected each column once',
    "faulty-maker/drives.csv:2 [channels]: found 1.5, expected a whole number of channels",
    'faulty-maker/drives.csv:2 [feedback]: found "abacus", expected one of hall, encoder-incremental, encoder-hall, encoder-absolute, encoder-multiturn, resolver',
    `faulty-maker/gearboxes.csv:1: found Parse Error: missing closing: '"' in line: at '"motor_frames\\n'', expected well formed CSV`,
    "faulty-maker/motors.csv:2 [rated_torque [N*m]]: found 1.4, expected at most the stall torque",
    "faulty-maker/motors.csv:3 [rated_speed [rpm]]: found 0, expected more than 0",
    "faulty-maker/motors.csv:4 [brake_inertia [kg*cm^2]]: found an empty cell, expected the inertia of the brake beside its torque",
    'faulty-maker/motors.csv:7 [part]: found "A5", expected each part number of Faultmaker once',
    "faulty-maker/motors.csv:8 [mass [kg]]: found -1, expected more than 0",
    'faulty-maker/motors.csv:9 [construction]: found "slottless", expected one of slotted, slotless, closed-slot (nearest: "slotless")',
    'faulty-maker/motors.csv:10 [stall_torque [N*m]]: found "n/a", expected a plain number or an empty cell',
    "faulty-maker/motors.csv:11 [poles]: found 7, expected an even number of poles",
    "faulty-maker/motors.csv:12 [price [EUR]]: found 215.505, expected money with at most two decimals",
    "faulty-maker/motors.csv:14 [length [mm]]: found an empty cell, expected a value: length is needed",
    "faulty-maker/motors.csv:15: found 26 cells, expected 25 cells, as in the header",
    // 1.3 N·m / 0.8 N·m/A; the next row's 1.625 A is just enough.
    "faulty-maker/motors.csv:16 [peak_current [A]]: found 1.6, expected at least stall_torque/torque_constant, 1.625 A",
    "faulty-maker/supplies.csv:2 [phases]: found 2, expected 1 or 3 phases",
    "faulty-maker/supplies.csv:3 [chopper_voltage [V]]: found an empty cell, expected a voltage; only a supply that feeds back has none",
    "faulty-maker/supplies.csv:3 [mains [V]]: found 400, expected at most mains_max",
    "faulty-maker/supplies.csv:4 [continuous_power [kW]]: found 7, expected at most peak_power",
    'faulty-maker/supplies.csv:4 [part]: found "A1", expected each part number of Faultmaker once',
  ]);
});

test("what is odd but usable is a caution: constants apart, a dearer step, a column that looks misspelt", async () => {
  const { shelf } = await readFolders(["faulty-maker"]);
  expect(shelf.cautions.map(({ code, at }) => [code, at.replace(fixtures, "")])).toEqual([
    ["column-name", "faulty-maker/motors.csv"],
    ["motor-constants", "A4"],
    ["dearer-price-step", "B2"],
  ]);
});

test("another currency, a folder that is not there and a folder given twice are faults", async () => {
  expect((await readFolders(["maker"], "USD")).lines).toEqual([
    'maker/catalog.json /currency: found "EUR", expected the problem\'s currency, "USD"',
  ]);
  expect((await readFolders(["maker", "nowhere"])).lines).toEqual([
    'p.json /catalogs/1: found "nowhere", expected a catalogue folder with a catalog.json',
  ]);
  expect((await readFolders(["maker", "maker"])).lines).toHaveLength(7);
});
