import { describe, expect, test } from "vitest";
import type { MotorRatios, RatioPick, RatiosDocument } from "../../src/machine/ratios.ts";
import { ratioCurveCsv, ratioPicksCsv } from "../../src/report/ratios-csv.ts";
import { ratiosText } from "../../src/report/ratios-text.ts";
import { PLAIN_STYLE } from "../../src/report/text-style.ts";

const HASH = "0".repeat(64);

function pick(ratio: number, changes: Partial<RatioPick> = {}): RatioPick {
  const utilisation = changes.passes === false ? 1.4 : 0.8;
  return {
    gearbox: `G-${ratio}`,
    gearbox_maker: "Gearmade (invented)",
    ratio,
    drive: "D10",
    drive_maker: "Ostrava Invented",
    inductor: null,
    inductor_maker: null,
    passes: true,
    failed: changes.passes === false ? ["motor.speed"] : [],
    limits: [{ id: "motor.speed", demand: utilisation, allowed: 1, unit: "rpm", utilisation }],
    not_checked: [],
    price: 500 + ratio,
    energy: 1234.5,
    energy_cost: 99.5,
    picked: false,
    ...changes,
  };
}

function motor(changes: Partial<MotorRatios> = {}): MotorRatios {
  return {
    motor: "M80-3",
    maker: "Ostrava Invented",
    frame: "80",
    brake: false,
    price: 280.29,
    assumed: { from: "axis", gearboxes: 3, efficiency: 0.95, back_efficiency: 0.9, inertia: 1e-5, drag_torque: 0.05 },
    drive: "D10",
    drive_maker: "Ostrava Invented",
    inductor: null,
    inductor_maker: null,
    range: { from: 1, to: 12, ends_by: "motor.speed" },
    windows: [
      { from: { ratio: 4.4776, limits: ["motor.inertia_ratio"] }, to: { ratio: 5.6475, limits: ["motor.speed"] } },
    ],
    fails: [],
    inertia_matched: 14,
    least_heat: { ratio: 5, utilisation: 0.42 },
    curve: { ratio: [1, 12], limits: [{ id: "motor.speed", utilisation: [0.1, null], passes: [[1, 12]] }] },
    not_checked: [],
    gearboxes: [pick(3, { passes: false }), pick(5), pick(7, { passes: false }), pick(10, { passes: false })],
    ...changes,
  };
}

function document(changes: Partial<RatiosDocument> = {}): RatiosDocument {
  return {
    format: "fewframe-ratios/1",
    fewframe: "0",
    title: "tray machine",
    currency: "EUR",
    machine: "shuttle",
    quantity: 4,
    axis: "lift",
    mechanism: "ball-screw",
    carried: { mass: 0, from: "nothing", riders: [] },
    allowed_ratios: null,
    energy_years: 5,
    asked: false,
    motors: [motor()],
    others: [],
    unfit: [],
    cautions: [{ code: "proposal", at: "order", text: "a proposal for a qualified engineer to check, not a release." }],
    inputs: { problem: { path: "p.json", sha256: HASH }, catalogs: [] },
    ...changes,
  };
}

const textOf = (changes: Partial<RatiosDocument> = {}): string => ratiosText(document(changes), PLAIN_STYLE);
const flat = (text: string): string => text.replaceAll(/\s+/gu, " ");
const ofMotor = (changes: Partial<MotorRatios>): string => flat(textOf({ motors: [motor(changes)] }));

describe("what the print of ratios says", () => {
  test("which ratios work and what closes them comes first; ends are rounded so that they still work", () => {
    const [title, first] = textOf().split("\n");
    expect(title).toBe("tray machine");
    expect(first).toMatch(/^RATIOS {5}lift \(ball-screw\), in 4 x shuttle: 1 of 1 motor works/);
    const text = flat(textOf());
    expect(text).toContain("M80-3: works from 4.48:1 to 5.64:1; cheapest with G-5 at 5:1: EUR 505.");
    expect(text).toContain("Below 4.48:1 the inertia ratio fails, above 5.64:1 the motor speed fails.");
    expect(text).toContain("inertias match at 14:1, faster than the motor may turn.");
  });

  test("a window that begins at 1 has no lower end, two windows are both told, limits that close together fail together", () => {
    const from = { ratio: 1, limits: [] };
    const both = ["motor.peak_torque", "motor.voltage"] as const;
    const text = ofMotor({
      windows: [
        { from, to: { ratio: 2, limits: both } },
        { from: { ratio: 3, limits: ["motor.detent"] }, to: { ratio: 12, limits: [] } },
      ],
    });
    expect(text).toContain("works from 1:1 to 2:1 and from 3:1 to 12:1");
    expect(text).toContain("Above 2:1 the peak torque and the winding voltage at speed fail.");
    expect(text).toContain(
      "Below 3:1 the detent torque at the load fails, above 12:1 lie no ratios of the catalogues.",
    );
  });

  test("without a window it says why: too fast, one limit, or limits with nothing in common", () => {
    const none = { windows: [], gearboxes: [pick(3, { passes: false })] };
    expect(ofMotor({ ...none, range: null, fails: ["motor.speed"] })).toContain("Even without reduction");
    expect(ofMotor({ ...none, fails: ["motor.peak_torque", "motor.speed"] })).toContain(
      "Each of the peak torque and the motor speed leaves ratios, but none in common.",
    );
    const limits = [{ id: "motor.brake", utilisation: [null, null], passes: [] }] as const;
    const hopeless = ofMotor({ ...none, fails: ["motor.brake"], curve: { ratio: [1, 12], limits } });
    expect(hopeless).toContain("No ratio passes the holding brake.");
    expect(hopeless).toContain("no ratio works; no real gearbox does.");
  });

  test("the table has what passes with its neighbours, the pick of the result starred, and counts the rest", () => {
    const lines = textOf().split("\n");
    const rows = lines.filter((line) => /^[x* ] +\d+ {2}/.test(line));
    expect(rows.map((line) => line.slice(0, 22).trimEnd())).toEqual([
      "x      3  G-3",
      "       5  G-5",
      "x      7  G-7",
    ]);
    expect(rows.every((line) => line.length === 80)).toBe(true);
    expect(lines).toContain("    1 more ratio fails; --json lists all 4 picks.");
    const starred = textOf({
      motors: [motor({ gearboxes: [pick(5), pick(5, { gearbox: "H-5", picked: true, drive: "E9" })] })],
    });
    expect(starred).toMatch(/^\* {6}5 {2}H-5 .*\n {10}drive E9$/m);
    expect(starred).toContain("* is the pick of the result.");
  });

  test("of the other motors it counts who works and what the rest fail; riders and ratios that are allowed are told", () => {
    const other = { motor: "M", maker: "m", price: 1 };
    const text = flat(
      textOf({
        others: [
          { ...other, standing: "works", fails: [] },
          { ...other, standing: "fails", fails: ["motor.brake"] },
          { ...other, standing: "fails", fails: ["motor.brake"] },
          { ...other, standing: "fails", fails: ["motor.inertia_ratio", "motor.speed"] },
        ],
        unfit: [{ reason: "feedback", motors: 7 }],
        carried: { mass: 2.15, from: "lightest", riders: ["a", "b"] },
        allowed_ratios: [3, 20],
      }),
    );
    expect(text).toContain("1 more motor works; --motor shows any of them.");
    expect(text).toContain("3 motors fail at every ratio: 2 for holding brake, 1 for inertia ratio with motor speed.");
    expect(text).toContain("7 motors cannot be used here: feedback.");
    expect(text).toContain("It carries a and b: 2.15 kg of motors and gearboxes, the lightest");
    expect(text).toContain("The problem allows ratios from 3 to 20");
    expect(flat(textOf({ asked: true }))).not.toContain("MORE");
  });

  test("it keeps to 80 columns and commands no terminal, whatever the names are", () => {
    const nasty = `${"very-long-name-".repeat(8)}\u001b[31m`;
    const gearboxes = [
      pick(5, { gearbox: nasty, drive: nasty, inductor: nasty, limits: [] }),
      pick(6, { gearbox: null }),
    ];
    const radial = pick(7, { passes: false, failed: ["gearbox.shaft_load"], energy: 123_456 });
    const worst = [{ id: "gearbox.shaft_load", demand: 9, allowed: 1, unit: "N", utilisation: 9 }] as const;
    const text = textOf({
      title: nasty,
      axis: nasty,
      machine: nasty,
      motors: [
        motor({ motor: nasty, drive: nasty, inductor: nasty, gearboxes: [...gearboxes, { ...radial, limits: worst }] }),
      ],
      carried: { mass: 1, from: "result", riders: [nasty] },
    });
    expect(text.split("\n").filter((line) => line.length > 80)).toEqual([]);
    expect(text).not.toContain("\u001b");
  });
});

describe("ratios as CSV", () => {
  test("a row for each real gearbox, guarded against formulas", async () => {
    const csv = await ratioPicksCsv(
      document({ motors: [motor({ motor: "=1+1", gearboxes: [pick(5, { gearbox: "@G" })] })] }),
    );
    const [header, row, ...rest] = csv.split("\n");
    expect(header).toContain("motor,motor maker,gearbox,gearbox maker,ratio,");
    expect(row).toMatch(/^'=1\+1,Ostrava Invented,'@G,.*,yes,,motor\.speed,0\.8,505\.00,1234\.5,99\.50$/);
    expect(rest).toEqual([""]);
  });

  test("a column for each limit over the ratio; where nothing is allowed the cell is empty", async () => {
    expect(await ratioCurveCsv(motor())).toBe("ratio,motor.speed\n1,0.1\n12,\n");
  });
});
