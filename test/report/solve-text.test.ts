import { expect, test } from "vitest";
import type { ResultDocument } from "../../src/machine/result.ts";
import { columnsOf } from "../../src/report/layout.ts";
import { solveText } from "../../src/report/solve-text.ts";
import { PLAIN_STYLE } from "../../src/report/text-style.ts";
import {
  axis,
  boundlessDocument,
  gapDocument,
  infeasibleDocument,
  optimalDocument,
  portfolioDocument,
  SAMPLES,
  silentDocument,
  unknownDocument,
} from "./sample-documents.ts";

/** The print with its line breaks taken out, as it would be read aloud. */
function aloud(doc: ResultDocument): string {
  return solveText(doc, PLAIN_STYLE).replaceAll(/\s+/g, " ");
}

/** Marks emphasis visibly. */
function marked(text: string): string {
  return `\u0001${text}\u0002`;
}

/** One axis alone, and the blocks that follow it. */
function withAxis(changes: Parameters<typeof axis>[1]): ResultDocument {
  const doc = optimalDocument();
  const machines = doc.machines.map((machine) => ({ ...machine, axes: [axis("traverse", changes)] }));
  return { ...doc, machines };
}

test.each(SAMPLES)(
  "no line of the %s print is wider than 80 columns or ends in a blank, and all is ASCII",
  (_name, doc) => {
    const lines = solveText(doc, PLAIN_STYLE).split("\n");
    expect(lines.length).toBeGreaterThan(5);
    expect(lines.filter((line) => line.length > 80)).toEqual([]);
    expect(lines.filter((line) => /\s$/.test(line))).toEqual([]);
    expect(lines.filter((line) => /[^ -~]/.test(line))).toEqual([]);
  },
);

test("the print answers what to buy, what it costs, why, what next, what was not checked and what to watch", () => {
  const text = aloud(optimalDocument());
  const inOrder = [
    "ORDER FOR 4 x tray-shuttle EUR 24,978",
    "Proven lowest: no other order from these catalogues costs less (gap 0).",
    "Parts 4 x 5,482 = 21,928, variety 3,050.",
    "8 x M80-3 (motor, Ostrava Invented) 712.00 = 5,696.00",
    "MACHINE tray-shuttle, 4 to build: mass 31.3 kg, cabinet width 265 mm, 1,210 kWh a year EUR 5,482 each",
    "traverse M80-3 | P80-7 at 7:1 | D10 EUR 2,106 each",
    "Held here by the inertia ratio: 9.6 of 10 allowed.",
    "At 10.4 allowed (3.6 % more), motor M60-4 would do: order EUR 672 less. Unlimited: 912 less.",
    "Also near: gearbox mean torque 88 %, peak torque 85 % at 0.42 s.",
    "lift M80-2B, brake | P80-4 at 4:1 | D10",
    "Held here by 2 limits together: the drive peak current: 9.08 of 9.5 A allowed, at 1.31 s; the continuous torque",
    "motor M60-4B and drive D06 would do: order EUR 1,288 less. Unlimited: no more.",
    "gripper S40-1, slotless | no gearbox | D06 with inductor L2",
    "rollers M80-3",
    "Held by no limit: it is the cheapest here, and lifting every limit of this axis would save nothing.",
    "supply B3 with resistor R60 EUR 640 each",
    "Supply peak 3.91 of 6 kW at 1.31 s, mean 0.811 of 1.5 kW.",
    "Next supply: B5 with resistor R60, order EUR 280 more.",
    "CAPS number of motor frames 2 of 2 allowed. At 3 allowed, the picks change: order EUR 300 less. Unlimited: 450 less.",
    "traverse 6.83 A, lift 9.5 A, gripper 2.1 A",
    "UNKNOWN P80-4 (Gearmade (invented)), on lift: no emergency torque in the catalogue; gearbox emergency torque not checked.",
    "TAKE CARE lift: can fall",
    "not a release.",
  ];
  const places = inOrder.map((words) => text.indexOf(words));
  expect(inOrder.filter((_words, index) => places[index] === -1)).toEqual([]);
  expect(places).toEqual(places.toSorted((a, b) => a - b));
});

test("a stopped search is never called lowest, and says what no order can cost less than", () => {
  const text = aloud(gapDocument());
  expect(text).toContain("Not proven lowest: the search was stopped.");
  expect(text).toContain("none can cost less than EUR 24,100.50 (gap 3.5 %)");
  expect(text).not.toContain("Proven lowest");
  expect(text).toContain("What holds it was not searched. Nearest: inertia ratio 96 %");
});

test("stopped without an answer is not called infeasible", () => {
  const text = aloud(unknownDocument());
  expect(text).toContain(
    "The search was stopped before it had an answer. One may still exist; none can cost less than EUR 21,000.",
  );
  expect(text).not.toContain("meets every limit");
});

test("stopped before any bound was known claims none", () => {
  const text = aloud(boundlessDocument());
  expect(text).toContain("NO ORDER The search was stopped before it had an answer. One may still exist.");
  expect(text).not.toMatch(/can cost less|null|NaN|Infinity/);
});

test("infeasible names per axis the nearest candidates and by how much they fail", () => {
  const text = aloud(infeasibleDocument());
  expect(text).toContain("NO ORDER No order from these catalogues meets every limit.");
  expect(text).toContain("Least to relax: the continuous torque at 4.1 N*m (14 % more than is allowed now).");
  expect(text).toContain("Nearest: M80-3 | P80-4 at 4:1 | D10 continuous torque: 4.1 of 3.6 N*m allowed, 14 % over");
  expect(text).toContain("holding brake: 3.2 N*m needed, it has none");
  expect(text).toContain("Turned down most for: peak torque (9,000), inertia ratio (8,000), motor speed (3,688).");
  expect(text).toContain("In conflict: the number of motor frames and the price of the machine.");
});

test("a limit that fails for want of a catalogue value is named with the value", () => {
  const text = aloud(silentDocument());
  expect(text).toContain(
    "Asked for but unknown, so failed: the detent torque at the load (no detent torque in the catalogue).",
  );
  expect(text).toContain(
    "Nearest: S40-1 | no gearbox | D06 detent torque at the load: no detent torque in the catalogue",
  );
  expect(text).not.toContain("In conflict");
});

test("a portfolio names its machines, other weights, shared drives and caps of a machine", () => {
  const text = aloud(portfolioDocument());
  expect(text).toContain("ORDER FOR 4 x tray-shuttle, 12 x indexing-conveyor EUR 524,497.33");
  expect(text).toContain("energy over the years 91,200.33, weight on mass 1,200");
  expect(text).toContain("Shares its drive with station-3-of-the-long-indexing-conveyor.");
  expect(text).toContain("supply low none in the catalogues: power of the bus not checked.");
  expect(text).toContain(
    "indexing-conveyor: cabinet width 1,400 of 1,400 mm allowed. Unlimited: order EUR 812.25 less.",
  );
});

test("a bus without axes says that it needs no supply", () => {
  const { machines, ...rest } = portfolioDocument();
  const moved = machines.map((machine) => ({
    ...machine,
    axes: machine.axes.map((own) => ({ ...own, bus: "main" })),
  }));
  expect(aloud({ ...rest, machines: moved })).toContain("supply low none: no axis draws from this bus.");
});

test("what would have to be allowed is rounded up and what may be set is rounded down", () => {
  const relief = [{ id: "motor.peak_torque", demand: 5.1201, allowed: 5, relief: 0.1201, unit: "N*m" }] as const;
  const step = { share: 0.02402, relief, part: "M60-4", total: 24_000 };
  const least = { ...step, least: true } as const;
  const binding = { limits: ["motor.peak_torque"], price: 978, next_step: least } as const;
  const text = aloud(withAxis({ binding, settings: { current_limit: 6.8399 } }));
  expect(text).toContain("At 5.13 N*m allowed in place of its 5 N*m (2.4 % more), M60-4 would do");
  expect(text).toContain("traverse 6.83 A");
  const open = aloud(withAxis({ binding: { ...binding, next_step: step } }));
  expect(open).toContain("(2.4 % more; perhaps less would do), M60-4 would do");
});

test("demand and allowed keep as many digits as it takes to tell them apart", () => {
  const limits = [{ id: "motor.peak_torque", demand: 9.9996, allowed: 10, unit: "N*m", utilisation: 0.99996 }] as const;
  const binding = { limits: ["motor.peak_torque"], price: 5, next_step: null } as const;
  expect(aloud(withAxis({ limits, binding }))).toContain(
    "the peak torque: 9.9996 of 10 N*m allowed. Unlimited: order EUR 5 less.",
  );
});

test("a value not checked that no missing catalogue value accounts for is still said", () => {
  const doc = { ...withAxis({ not_checked: [{ id: "motor.detent", missing: "detent_torque" }] }), unknowns: [] };
  expect(aloud(doc)).toContain("traverse: detent torque at the load not checked; no detent torque given.");
});

test("names can neither command the terminal nor widen a line", () => {
  const evil = `\u001b[31mM\u202e80\r\n${"x".repeat(200)}`;
  const text = solveText(
    withAxis({ motor: evil, id: evil, binding: { limits: [], reason: "cheapest", price: 0, next_step: null } }),
    PLAIN_STYLE,
  );
  expect(["\u001b", "\u202e", "\r"].filter((mark) => text.includes(mark))).toEqual([]);
  expect(text.split("\n").filter((line) => columnsOf(line) > 80)).toEqual([]);
  const wide = solveText({ ...optimalDocument(), title: "\u6a5f".repeat(90) }, PLAIN_STYLE);
  expect(wide.split("\n").filter((line) => columnsOf(line) > 80)).toEqual([]);
});

test.each(SAMPLES)("emphasis adds nothing but its own marks to the %s print", (_name, doc) => {
  const text = solveText(doc, { strong: marked, dim: marked, warn: marked, good: marked });
  expect(text).toContain("\u0001");
  expect(text.replaceAll("\u0001", "").replaceAll("\u0002", "")).toBe(solveText(doc, PLAIN_STYLE));
});
