import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { faultLine } from "../../src/faults/fault-line.ts";
import { checkProblem } from "../../src/result/check-problem.ts";

const ROOT = join(import.meta.dirname, "..", "..");

/** Faults of the imperial single axis when its drum follows a table. */
async function faultsOf(csv: string, edits: object = {}): Promise<string[]> {
  const folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  try {
    const text = await readFile(join(ROOT, "problems/drum-feeder-imperial.json"), "utf8");
    const document = JSON.parse(text.replaceAll("../catalogs", join(ROOT, "catalogs")));
    Object.assign(document.machines[0].axes[0], { motion: [{ follow: "cam.csv" }], ...edits });
    await writeFile(join(folder, "p.json"), JSON.stringify(document));
    await writeFile(join(folder, "cam.csv"), csv);
    const checked = await checkProblem(join(folder, "p.json"));
    return checked.ok ? [] : checked.faults.map((fault) => faultLine(fault).replace(/^\S*\/(?=p\.json)/, ""));
  } finally {
    await rm(folder, { recursive: true });
  }
}

const HALFWAY = "time [s],position [deg]\n0,0\n1,90\n2.5,30\n";

test("a motion that can be has no fault", async () => {
  expect(await faultsOf("time [s],position [deg]\n0,0\n1,90\n2.5,0\n")).toEqual([]);
});

test("a table that does not return is told by its segment, unless the axis is endless", async () => {
  expect(await faultsOf(HALFWAY)).toEqual([
    'p.json /machines/0/axes/0/motion/0: found a cycle that ends 0.523599 (m or rad) from where it began, expected a return to the start, or "endless": true',
  ]);
  expect(await faultsOf(HALFWAY, { endless: true })).toEqual([]);
});

test("a jump of speed between segments is told", async () => {
  const motion = [{ dwell: "1 s" }, { follow: "cam.csv" }];
  const csv = "time [s],velocity [rpm]\n0,30\n0.5,0\n1,-30\n1.5,0\n";
  expect(await faultsOf(csv, { motion })).toEqual([
    "p.json /machines/0/axes/0/motion/1: found a jump of speed to 3.14159 (m/s or rad/s), expected a first row at the speed before it, 0",
  ]);
});
