import { mkdir, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { ResultDocument } from "../../src/machine/result.ts";
import { run, valueOf } from "./run-file.ts";

// Maker, parts and prices are invented.
const ABOUT = '{ "maker": "Twinmaker (invented)", "currency": "EUR", "note": "invented, for a test" }';

/** Two small motors and a large one. The price of S falls at the quantities that only both machines reach together. */
const MOTORS = `part,frame,construction,feedback,poles,stall_torque [N*m],rated_torque [N*m],rated_speed [rpm],peak_torque [N*m],max_speed [rpm],torque_constant [N*m/A],voltage_constant [V/krpm],resistance [ohm],inductance [mH],rotor_inertia [kg*cm^2],detent_torque [N*m],mass [kg],length [mm],width [mm],price [EUR],price_3 [EUR],price_5 [EUR]
S,F40,slotted,resolver,8,0.7,0.6,3000,2,5000,0.5,30.23,9,20,0.3,0.01,1,90,40,100,95,90
S-LEAN,F40,slotted,resolver,8,0.6,0.5,3000,1.5,5000,0.5,30.23,10,20,0.2,0.01,0.9,80,40,92,,
L,F80,slotted,resolver,8,5,4.5,3000,15,5000,1,60.46,2,12,6,0.05,5,170,80,300,,
`;
const DRIVES = `part,channels,continuous_current [A],peak_current [A],peak_time [s],bus_max [V],feedback,commutation,switching_frequency [kHz],fixed_loss [W],loss_per_amp [W/A],capacitance [uF],width [mm],price [EUR],price_7 [EUR]
D,1,6,18,3,850,resolver,sinusoidal,8,10,3,235,55,200,180
DD,2,6,18,3,850,resolver,sinusoidal,8,15,3,235,80,320,
`;
/** The resistor inside takes all that comes back; the supply that feeds back is dear. */
const SUPPLIES = `part,mains [V],phases,continuous_power [kW],peak_power [kW],capacitance [uF],chopper_voltage [V],min_resistance [ohm],internal_resistor_peak [W],internal_resistor_continuous [W],feeds_back,width [mm],price [EUR],price_5 [EUR]
P3,400,3,3,6,450,780,30,9000,900,no,70,370,350
PR3,400,3,3,6,450,,,,,yes,140,990,
`;

/** Turns a quarter in half a second, there and back. */
function axis(id: string, inertia: string): unknown {
  const quarter = { time: "0.5 s" };
  return {
    id,
    mechanism: { kind: "rotary" },
    load: { inertia },
    motion: [{ move: "90 deg", ...quarter }, { dwell: "0.5 s" }, { move: "-90 deg", ...quarter }],
    needs: { inertia_ratio: null },
  };
}

function problem(turners: number): unknown {
  return {
    title: "two invented machines",
    catalogs: ["twinmaker"],
    site: { mains: "400 V", phases: 3 },
    machines: [
      // Least peak torque of any such move: 4·θ/t² = 25.1 rad/s² at the load, 0.5 N·m here and 5 N·m for the spindle.
      { id: "feeder", quantity: 3, cycle: "2 s", axes: [axis("slide", "0.02 kg*m^2")] },
      {
        id: "turner",
        quantity: turners,
        cycle: "2 s",
        axes: [axis("tilt", "0.02 kg*m^2"), axis("spindle", "0.2 kg*m^2")],
      },
    ],
    weights: { currency: "EUR" },
  };
}

let folder = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  await mkdir(join(folder, "twinmaker"));
  const sheets = { "catalog.json": ABOUT, "motors.csv": MOTORS, "drives.csv": DRIVES, "supplies.csv": SUPPLIES };
  for (const [name, text] of Object.entries(sheets)) await writeFile(join(folder, "twinmaker", name), text);
});
afterAll(async () => rm(folder, { recursive: true }));

async function solved(turners: number): Promise<ResultDocument> {
  const path = join(folder, `turners-${turners}.json`);
  await writeFile(path, JSON.stringify(problem(turners)));
  return valueOf(await run(path)).document;
}

function bought({ parts }: ResultDocument): unknown[] {
  return parts.map(({ id, quantity, unit_price, used_by }) => [id, quantity, unit_price, [...used_by]]);
}

test("two machines share a motor and reach its price together, each pays for its own count (by hand)", async () => {
  const document = await solved(2);
  expect(document).toMatchObject({ status: "optimal", gap: 0, currency: "EUR" });
  // Five small axes: 5 × 90 = 450 of S; S-LEAN would be 5 × 92 = 460, each machine for itself 3 × 95 + 2 × 92 = 469.
  // Seven drives: 3 × 200 + 2 × 320 = 1240; D alone 7 × 180 = 1260. Five supplies: 5 × 350 = 1750.
  expect(bought(document)).toEqual([
    ["L", 2, 300, ["turner/spindle"]],
    ["S", 5, 90, ["feeder/slide", "turner/tilt"]],
    ["D", 3, 200, ["feeder/slide"]],
    ["DD", 2, 320, ["turner/tilt+spindle"]],
    ["P3", 5, 350, ["feeder/main", "turner/main"]],
  ]);
  const terms = { purchase: 4040, energy: 0, variety: 0, mass: 0, cabinet_width: 0, lead_time: 0 };
  expect(document.objective).toEqual({ total: 4040, terms });
  expect(document.bound).toBeGreaterThanOrEqual(4039.99 - 1e-9);
  expect(document.distinct).toEqual({ motors: 2, frames: 2, gearboxes: 0, drives: 2, makers: 1, parts: 5 });
});

test("a machine's own totals are those of one of it (by hand)", async () => {
  const { machines } = await solved(2);
  expect(machines.map(({ id, quantity }) => [id, quantity])).toEqual([
    ["feeder", 3],
    ["turner", 2],
  ]);
  const [feeder, turner] = machines.map(({ totals }) => totals);
  // 90 + 200 + 350, and 90 + 300 + 320 + 350 EUR; 55 + 70, and 80 + 70 mm.
  expect(feeder).toMatchObject({ price: 640, mass: 1 });
  expect(turner).toMatchObject({ price: 1060, mass: 6 });
  expect(feeder?.cabinet_width).toBeCloseTo(0.125, 12);
  expect(turner?.cabinet_width).toBeCloseTo(0.15, 12);
  expect(machines[1]?.modules).toEqual([
    { drive: "DD", drive_maker: "Twinmaker (invented)", bus: "main", axes: ["tilt", "spindle"] },
  ]);
});

test("with one machine less the shared price is out of reach, and the other motor is cheaper (by hand)", async () => {
  const document = await solved(1);
  // Four small axes: 4 × 92 = 368 of S-LEAN; S would be 4 × 95 = 380. Drives 3 × 200 + 320, supplies 4 × 370.
  expect(bought(document)).toEqual([
    ["L", 1, 300, ["turner/spindle"]],
    ["S-LEAN", 4, 92, ["feeder/slide", "turner/tilt"]],
    ["D", 3, 200, ["feeder/slide"]],
    ["DD", 1, 320, ["turner/tilt+spindle"]],
    ["P3", 4, 370, ["feeder/main", "turner/main"]],
  ]);
  expect(document).toMatchObject({ status: "optimal", objective: { total: 3068 } });
});
