import { expect, test } from "vitest";
import type { ResultDocument } from "../../src/machine/result.ts";
import { quarterTurns, solvedWithTwins } from "./twin-catalogue.ts";

function problem(turners: number): unknown {
  return {
    title: "two invented machines",
    catalogs: ["twinmaker"],
    site: { mains: "400 V", phases: 3 },
    machines: [
      // Least peak torque of any such move: 4·θ/t² = 25.1 rad/s² at the load, 0.5 N·m here and 5 N·m for the spindle.
      { id: "feeder", quantity: 3, cycle: "2 s", axes: [quarterTurns("slide", "0.02 kg*m^2")] },
      {
        id: "turner",
        quantity: turners,
        cycle: "2 s",
        axes: [quarterTurns("tilt", "0.02 kg*m^2"), quarterTurns("spindle", "0.2 kg*m^2")],
      },
    ],
    weights: { currency: "EUR" },
  };
}

function solved(turners: number): Promise<ResultDocument> {
  return solvedWithTwins(problem(turners));
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
