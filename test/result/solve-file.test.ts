import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import library from "highs";
import { beforeAll, describe, expect, test } from "vitest";
import type { AxisResult, LimitResult, ResultDocument } from "../../src/machine/result.ts";
import type { Phase, SolveFileOutcome } from "../../src/machine/run.ts";
import { documentText } from "../../src/report/document-text.ts";
import { allParts, catalogJson, type Part } from "../catalogs/sheets.ts";
import { problemPath, run, valueOf } from "./run-file.ts";

const schema: object = JSON.parse(readFileSync("shared/schemas/result.schema.json", "utf8"));
const validate = new Ajv2020({ allErrors: true, strict: true, strictTypes: false, strictRequired: false }).compile(
  schema,
);

const phases: Phase[] = [];
let drum: SolveFileOutcome;
let tray: SolveFileOutcome;
let rows: readonly Part[];
beforeAll(async () => {
  drum = valueOf(
    await run(problemPath("drum-feeder-imperial"), {
      explain: true,
      writeModel: true,
      progress: ({ phase }) => phases.push(phase),
    }),
  );
  tray = valueOf(await run(problemPath("tray-transplanter")));
  rows = await allParts();
});

const all = (): readonly (readonly [string, ResultDocument])[] => [
  ["drum", drum.document],
  ["tray", tray.document],
];

/** Cents, so that sums are exact. */
const cents = (money: number): number => Math.round(money * 100);
const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

function rowOf(id: string, maker: string): Part {
  const found = rows.find((row) => row.texts["part"] === id && catalogJson(row.maker).maker === maker);
  if (found === undefined) throw new Error(`${maker} ${id} is not in the catalogues`);
  return found;
}

/** The document as text, without what differs from run to run. */
const bytes = ({ document }: SolveFileOutcome): string => documentText({ ...document, timing: {} });

/** Limits of the order, its machines, axes and buses, list by list. */
const limitsOf = ({ machines, limits }: ResultDocument): readonly (readonly LimitResult[])[] => [
  limits,
  ...machines.flatMap((machine) => [
    machine.limits,
    ...machine.axes.map((a) => a.limits),
    ...machine.buses.map((b) => b.limits),
  ]),
];

/** Highest current that each part bears [A], from the catalogues. */
function currents(axis: AxisResult): Record<"drive" | "motor" | "gearbox", number> {
  const motor = rowOf(axis.motor, axis.motor_maker).numbers;
  const gearbox = axis.gearbox === null ? {} : rowOf(axis.gearbox, axis.gearbox_maker ?? "").numbers;
  const torqueConstant = motor["torque_constant"] ?? Number.NaN;
  const emergency = gearbox["emergency_torque"] ?? Number.POSITIVE_INFINITY;
  return {
    drive: rowOf(axis.drive, axis.drive_maker).numbers["peak_current"] ?? Number.NaN,
    motor: motor["peak_current"] ?? (motor["peak_torque"] ?? Number.NaN) / torqueConstant,
    gearbox: emergency / (axis.ratio * torqueConstant),
  };
}

describe("the document", () => {
  test("is valid by its schema (JSON Schema draft 2020-12) and loses nothing as JSON text", () => {
    for (const [name, document] of all()) {
      validate(JSON.parse(documentText(document)));
      expect([name, validate.errors]).toEqual([name, null]);
      expect(JSON.parse(JSON.stringify(document))).toStrictEqual(document);
    }
  });

  test("is the same byte for byte from the same input, timing aside", async () => {
    const again = valueOf(await run(problemPath("drum-feeder-imperial"), { explain: true, writeModel: true }));
    expect(bytes(again)).toBe(bytes(drum));
    expect(again.certificate).toBe(drum.certificate);
    expect(again.modelText).toBe(drum.modelText);
  });

  test("costs the same by the other engine (HiGHS)", async () => {
    const other = valueOf(await run(problemPath("drum-feeder-imperial"), { engine: "highs" }));
    expect(other.document.objective).toEqual(drum.document.objective);
    expect(other.document.machines[0]?.axes[0]?.motor).toBe(drum.document.machines[0]?.axes[0]?.motor);
  });
});

describe("money", () => {
  test("terms add up to the total, parts by their unit prices to the purchase", () => {
    for (const { objective, parts } of [drum.document, tray.document]) {
      expect(sum(Object.values(objective?.terms ?? {}).map(cents))).toBe(cents(objective?.total ?? 0));
      expect(sum(parts.map(({ quantity, unit_price }) => quantity * cents(unit_price)))).toBe(
        cents(objective?.terms.purchase ?? 0),
      );
    }
  });

  test("axes with their share of shared drives, and buses, add up to the machine; machines to the purchase", () => {
    for (const { machines, objective } of [drum.document, tray.document]) {
      for (const { axes, buses, totals } of machines) {
        expect(sum([...axes, ...buses].map(({ price }) => price))).toBeCloseTo(totals.price, 6);
      }
      expect(sum(machines.map(({ quantity, totals }) => quantity * cents(totals.price)))).toBe(
        cents(objective?.terms.purchase ?? 0),
      );
    }
  });

  test("unit prices are those of the price steps in the catalogues", () => {
    const parts = [...drum.document.parts, ...tray.document.parts];
    for (const { id, maker, quantity, unit_price } of parts) {
      const { numbers } = rowOf(id, maker);
      const steps = [
        [50, numbers["price_50"]],
        [10, numbers["price_10"]],
        [1, numbers["price"]],
      ] as const;
      const step = steps.find(([from, price]) => from <= quantity && price !== undefined);
      expect([id, unit_price]).toEqual([id, step?.[1]]);
    }
    expect(new Set(parts.map(({ kind }) => kind)).size).toBeGreaterThanOrEqual(4);
  });

  test("energy is kWh a year and machine: at the price of the problem it gives the energy term", () => {
    // problems/tray-transplanter.json: 0.21 EUR/kWh over 5 years; drum-feeder-imperial.json: 0.15 EUR/kWh over 3 years.
    for (const [{ document }, price, years] of [[tray, 0.21, 5] as const, [drum, 0.15, 3] as const]) {
      const energy = sum(document.machines.map(({ quantity, totals }) => quantity * totals.energy));
      expect(Math.abs(energy * price * years - (document.objective?.terms.energy ?? 0))).toBeLessThanOrEqual(0.0051);
    }
  });

  test("variety is the weights of the problem times what differs", () => {
    const { distinct, parts, objective } = tray.document;
    // problems/tray-transplanter.json, `weights.variety`.
    const supplies = parts.filter(({ kind }) => kind === "supply").length;
    const expected =
      450 * distinct.motors +
      300 * distinct.frames +
      250 * distinct.gearboxes +
      300 * distinct.drives +
      400 * distinct.makers +
      100 * supplies;
    expect(objective?.terms.variety).toBe(expected);
    expect(distinct.parts).toBe(parts.length);
    expect(distinct.makers).toBe(new Set(parts.map(({ maker }) => maker)).size);
  });
});

describe("the proof", () => {
  test("bound and gap: within a cent of the total, never above it", () => {
    for (const { bound, gap, objective, status } of [drum.document, tray.document]) {
      expect([status, gap]).toEqual(["optimal", 0]);
      const total = objective?.total ?? 0;
      expect(bound).toBeLessThanOrEqual(total);
      expect(bound).toBeGreaterThanOrEqual(total - 0.01 - 1e-9);
    }
  });

  test("the document names the certificate by the SHA-256 of its text", () => {
    const { certificate, document } = drum;
    const sha256 = createHash("sha256")
      .update(certificate ?? "")
      .digest("hex");
    expect(document.certificate).toEqual({ file: "drum-feeder-imperial.certificate.json", sha256 });
    expect(JSON.parse(certificate ?? "")).toMatchObject({ format: "fewframe-certificate/4" });
  });

  test("HiGHS finds the total of the document in the LP text, each term rounded to cents aside", async () => {
    const load: unknown = library;
    expect(typeof load).toBe("function");
    const highs = await (load as typeof library.default)();
    const { Status, ObjectiveValue } = highs.solve(drum.modelText ?? "", { mip_rel_gap: 0 });
    expect(Status).toBe("Optimal");
    expect(Math.abs(ObjectiveValue - cents(drum.document.objective?.total ?? 0))).toBeLessThanOrEqual(1);
  });

  test("without being asked for it there is no LP text", () => {
    expect(tray.modelText).toBeUndefined();
  });
});

describe("limits", () => {
  test("every one is met, and demand over allowed is its utilisation", () => {
    const found = [drum.document, tray.document].flatMap(limitsOf).flat();
    for (const { demand, allowed, utilisation } of found) {
      expect(utilisation).not.toBeNull();
      expect(utilisation).toBeLessThanOrEqual(1 + 1e-9);
      expect((utilisation ?? 0) * allowed).toBeCloseTo(demand, 6);
    }
    expect(found.length).toBeGreaterThan(100);
  });

  test("the highest comes first on every axis and bus", () => {
    for (const { machines } of [drum.document, tray.document]) {
      for (const { limits } of machines.flatMap(({ axes, buses }) => [...axes, ...buses])) {
        const shares = limits.map(({ utilisation }) => utilisation ?? 0);
        expect(shares).toEqual(shares.toSorted((a, b) => b - a));
      }
    }
  });

  test("allowed figures are those of the catalogues in table units (NIST SP 811 for lbf*in and arcmin)", () => {
    const axis = drum.document.machines[0]?.axes[0];
    const allowed = (id: string): number => axis?.limits.find((limit) => limit.id === id)?.allowed ?? Number.NaN;
    const { numbers } = rowOf(axis?.gearbox ?? "", axis?.gearbox_maker ?? "");
    expect(allowed("gearbox.emergency_torque") / (numbers["emergency_torque"] ?? 0)).toBeCloseTo(1, 6);
    expect(allowed("gearbox.max_speed") / ((numbers["max_input_speed"] ?? 0) / 0.1047198)).toBeCloseTo(1, 6);
    // The problem asks for 12 arcmin.
    expect(allowed("gearbox.backlash") / (12 * 2.908882e-4)).toBeCloseTo(1, 6);
    const bus = drum.document.machines[0]?.buses[0];
    const capacitance = bus?.limits.find(({ id }) => id === "supply.capacitance");
    const supply = rowOf(bus?.supply ?? "", bus?.supply_maker ?? "");
    expect(capacitance?.unit).toBe("uF");
    expect(capacitance?.allowed).toBeCloseTo(Number(supply.texts["max_capacitance"]), 6);
  });

  test("the current to set is the least of drive, motor and gearbox emergency torque / (ratio x Kt)", () => {
    const axes = [drum.document, tray.document].flatMap(({ machines }) => machines.flatMap((machine) => machine.axes));
    const held = axes.map((axis) => {
      const found = currents(axis);
      const least = Math.min(...Object.values(found));
      expect(axis.settings.current_limit / least).toBeCloseTo(1, 6);
      return Object.entries(found).find(([, current]) => current === least)?.[0];
    });
    expect(new Set(held).size).toBeGreaterThan(1);
  });

  test("the price of what holds the axis is what its next answer is cheaper by, at the least", () => {
    const { objective, machines } = drum.document;
    const { binding, limits } = machines[0]?.axes[0] ?? {};
    expect(binding?.limits).toHaveLength(1);
    expect(binding?.price).toBeGreaterThan(0);
    const saved = (objective?.total ?? 0) - (binding?.next_step?.total ?? 0);
    expect(saved).toBeGreaterThanOrEqual(0.01 - 1e-9);
    expect(saved).toBeLessThanOrEqual((binding?.price ?? 0) + 1e-9);
    const priced = limits?.filter(({ price }) => price !== undefined);
    expect(priced?.map(({ id, price }) => [id, price])).toEqual([[binding?.limits[0], binding?.price]]);
  });

  test("reasons not asked for say so", () => {
    const axes = tray.document.machines.flatMap((machine) => machine.axes);
    expect(axes.map(({ binding }) => binding.reason)).toEqual(axes.map(() => "not-searched"));
  });
});

/** Every phase there is: one more in the type does not compile here. */
const PHASES: Readonly<Record<Phase, true>> = { read: true, judge: true, solve: true, explain: true };

test("every phase is told, in order, and timed", () => {
  expect([...new Set(phases)]).toEqual(Object.keys(PHASES));
  expect(Object.keys(drum.document.timing)).toEqual([...Object.keys(PHASES), "total"]);
});
