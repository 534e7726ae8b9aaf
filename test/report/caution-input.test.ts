import { expect, test } from "vitest";
import { readProblem } from "../../src/input/read-problem.ts";
import type { MachineResult } from "../../src/machine/result.ts";
import { allCautions } from "../../src/report/caution-input.ts";
import { optimalDocument } from "./sample-documents.ts";

const read = await readProblem("problems/tray-transplanter.json");
if (!read.ok) throw new Error("the demo problem has faults");
const input = read.value;
const machine = firstOf(input.problem.machines);
const sample = firstOf(optimalDocument().machines);

function firstOf<T>(list: readonly T[]): T {
  for (const each of list) return each;
  throw new Error("an empty list");
}

/** The demo with the first motor, gearbox, drive and supply of its catalogues on every axis; nobody says they fit. */
function picked(): MachineResult {
  const { motors, gearboxes, drives, supplies } = input.catalogue;
  const [motor, gearbox, drive, supply] = [motors[0], gearboxes[0], drives[0], supplies[0]];
  const names = {
    motor: motor?.part ?? "",
    motor_maker: motor?.maker ?? "",
    gearbox: gearbox?.part ?? "",
    gearbox_maker: gearbox?.maker ?? "",
    drive: drive?.part ?? "",
    drive_maker: drive?.maker ?? "",
    brake: true,
  };
  const axes = sample.axes
    .slice(0, 1)
    .flatMap((axis) => machine.axes.map(({ id, bus }) => ({ ...axis, ...names, id, bus })));
  const buses = sample.buses.map((bus) => ({ ...bus, supply: supply?.part ?? "", supply_maker: supply?.maker ?? "" }));
  return { ...sample, id: machine.id, axes, buses };
}

test("the demo's vertical axes, and no others, can fall", () => {
  const falling = allCautions(input, []).filter(({ code }) => code === "falling-axis");
  expect(falling.map(({ at }) => at)).toEqual(["lift", "press"]);
  expect(falling[0]?.text).toContain("when torque is lost or a brake fails");
});

test("with picks, the cautions speak of the picked parts: their brakes, starts, motors, and the bus voltage reached", () => {
  const found = allCautions(input, [picked()]);
  const texts = (code: string): string =>
    found
      .filter((caution) => caution.code === code)
      .map(({ text }) => text)
      .join("\n");
  expect(texts("falling-axis")).toContain("when its brake is opened");
  expect(texts("many-starts")).toContain("starts 2250 times an hour");
  // Crest of 400 V + 10 % is 622 V; the chopper works above it.
  expect(Number(/up to (\d+) V/.exec(texts("bus-energy"))?.[1])).toBeGreaterThan(622);
  expect(found.filter(({ code }) => code === "hot-motor").map(({ at }) => at)).toEqual([
    input.catalogue.motors[0]?.part,
  ]);
});

test("cautions of catalogue rows are given for all rows before, and for the picked parts alone after", () => {
  const rows = ["motor-constants", "dearer-price-step"].map((code) => ({ code, at: "somewhere", text: code }));
  const spoken = { ...input, cautions: [...rows, { code: "column-name", at: "motors.csv", text: "?" }] };
  const codes = (results: Parameters<typeof allCautions>[1]): string[] =>
    allCautions(spoken, results)
      .filter(({ at }) => at === "somewhere" || at === "motors.csv")
      .map(({ code }) => code);
  expect(codes([])).toEqual(["motor-constants", "dearer-price-step", "column-name"]);
  expect(codes([picked()])).toEqual(["column-name"]);
});

test("a motor whose constants disagree and a part with a dearer step are named once picked", () => {
  const first = firstOf(input.catalogue.motors);
  const odd = {
    ...first,
    voltageConstant: first.voltageConstant * 1.2,
    prices: [
      { from: 1, price: 100 },
      { from: 10, price: 200 },
    ],
  };
  const catalogue = { ...input.catalogue, motors: [odd, ...input.catalogue.motors.slice(1)] };
  const codes = allCautions({ ...input, catalogue }, [picked()])
    .filter(({ at }) => at === odd.part)
    .map(({ code }) => code);
  expect(codes).toEqual(["hot-motor", "motor-constants", "dearer-price-step"]);
});
