import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import type { MachineResult } from "../../src/machine/result.ts";
import { run, valueOf } from "./run-file.ts";

const CATALOGS = ["dunmarrow", "plimwickel"].map((maker) => join(import.meta.dirname, "../../catalogs", maker));

function screwAxis(id: string, incline: string): object {
  return {
    id,
    mechanism: { kind: "ball-screw", lead: "20 mm", efficiency: 0.9 },
    load: { mass: "12 kg", incline },
    motion: [
      { move: "0.2 m", time: "0.5 s" },
      { move: "-0.2 m", time: "0.5 s" },
    ],
  };
}

/** A machine with a lift and a slide, solved. */
async function solved(machine: object, lift: object = {}): Promise<MachineResult> {
  const problem = {
    title: "lift",
    catalogs: CATALOGS,
    site: { mains: "400 V", phases: 3 },
    machines: [
      {
        id: "m",
        cycle: "2 s",
        axes: [{ ...screwAxis("lift", "90 deg"), ...lift }, screwAxis("slide", "0 deg")],
        ...machine,
      },
    ],
    weights: { currency: "EUR" },
  };
  const folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  try {
    const path = join(folder, "p.json");
    await writeFile(path, JSON.stringify(problem));
    const [found] = valueOf(await run(path)).document.machines;
    if (found === undefined) throw new Error("no answer");
    return found;
  } finally {
    await rm(folder, { recursive: true });
  }
}

test("a bus with a lift: it stops in the emergency stop, its brake grips after it, and the capacitors carry it until then", async () => {
  const { buses, axes } = await solved({ emergency_stop: { time: "0.2 s" } });
  const down = buses[0]?.ride_down;
  const closing = axes[0]?.drop?.brake_close_time ?? Number.NaN;
  expect(down).toMatchObject({
    ramp: { value: 0.2, assumed: false },
    axes: [{ id: "lift", brake: true }],
    brakes_grip: expect.closeTo(0.2 + closing, 12),
    bus_min: 280,
    unknown: [],
    start_voltage: expect.closeTo(1.35 * 360, 9),
    lost_after: null,
    carries: true,
  });
  expect(down?.lowest_voltage).toBeGreaterThan(280);
  expect(down?.lowest_voltage).toBeLessThan(486);
});

test("without an emergency stop it is assumed: 0.2 m in 0.5 s by thirds take 0.5/3 s from full speed to rest", async () => {
  const { buses } = await solved({});
  expect(buses[0]?.ride_down?.ramp).toEqual({ value: expect.closeTo(0.5 / 3, 9), assumed: true });
});

test("a lift whose brake was switched off in writing is held until the capacitors give no more", async () => {
  const { buses } = await solved({}, { needs: { brake: false } });
  const down = buses[0]?.ride_down;
  expect(down).toMatchObject({
    axes: [{ id: "lift", brake: false }],
    brakes_grip: null,
    lowest_voltage: null,
    lowest_after: null,
    carries: false,
  });
  expect(down?.lost_after).toBeGreaterThan(0.1);
});

test("nothing is said of a bus on which nothing hangs", async () => {
  const { buses } = await solved({}, { load: { mass: "12 kg" } });
  expect(buses[0]?.ride_down).toBeNull();
});
