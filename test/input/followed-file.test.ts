import { mkdtemp, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import type { Result } from "../../src/faults/fault.ts";
import { faultLine } from "../../src/faults/fault-line.ts";
import { loadProblemReader, type ProblemInput } from "../../src/input/read-problem.ts";
import { SIZE_LIMITS } from "../../src/input/size-limits.ts";
import type { FollowSegment } from "../../src/machine/problem.ts";

const FIXTURES = fileURLToPath(new URL("fixtures/", import.meta.url));
const readProblem = await loadProblemReader();
const GOOD = "time [s],position [mm]\n0,0\n0.5,120\n1.25,0\n";

/** Reads the good fixture with its first axis following `t.csv`, and its second, rotary, when told so. */
async function read(
  csv: string | undefined,
  { rotary = false, twice = false }: { readonly rotary?: boolean; readonly twice?: boolean } = {},
): Promise<Result<ProblemInput>> {
  const folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  try {
    const text = await readFile(join(FIXTURES, "good.json"), "utf8");
    const document = JSON.parse(text.replace('"maker"', JSON.stringify(join(FIXTURES, "maker"))));
    const { axes } = document.machines[0];
    if (!rotary) axes[0].motion = [{ follow: "t.csv", payload: "2 kg" }];
    if (rotary) axes[1].motion = [{ follow: "t.csv" }];
    if (twice) axes[0].motion.push({ follow: "./t.csv" }, { follow: "t.csv" });
    await writeFile(join(folder, "p.json"), JSON.stringify(document));
    if (csv !== undefined) await writeFile(join(folder, "t.csv"), csv);
    return await readProblem(join(folder, "p.json"));
  } finally {
    await rm(folder, { recursive: true });
  }
}

function followed(input: Result<ProblemInput>, axis: number): FollowSegment {
  const segment = input.ok ? input.value.problem.machines[0]?.axes[axis]?.motion[0] : undefined;
  if (segment?.kind !== "follow") throw new Error(JSON.stringify(input));
  return segment;
}

/** A table of so many rows. */
function tableOf(rows: number): string {
  return `time [s],position [mm]\n${Array.from({ length: rows }, (_, k) => `${k / 1e5},0`).join("\n")}\n`;
}

const lines = (input: Result<ProblemInput>): string[] =>
  input.ok ? [] : input.faults.map((fault) => faultLine(fault).replace(/^\S*\/(?=[pt]\.)/, ""));

describe("a followed file", () => {
  test("is read in SI, beside the problem, with what the segment carries, and hashed", async () => {
    const input = await read(GOOD);
    expect(followed(input, 0)).toEqual({
      kind: "follow",
      file: "t.csv",
      force: 0,
      payload: 2,
      table: { of: "position", times: [0, 0.5, 1.25], values: [0, 0.12, 0] },
    });
    expect(input.ok ? input.value.inputs.tables : []).toEqual([
      // sha256sum of the text above.
      {
        path: expect.stringMatching(/t\.csv$/),
        sha256: "32babc2ce69d5aef08f98225535066a9f4c8215af68085485790de6dd64ae0a5",
      },
    ]);
  });

  test("may give velocities, columns in any order, other units, and blank rows", async () => {
    const rotary = await read("velocity [rpm],time [ms]\n0,0\n\n60,+250.\n-.6e2,1e3\n", { rotary: true });
    const { table } = followed(rotary, 1);
    expect(table.of).toBe("velocity");
    expect(table.times).toEqual([0, 0.25, 1]);
    expect(table.values.map((value) => value / (2 * Math.PI))).toEqual([
      0,
      expect.closeTo(1, 12),
      expect.closeTo(-1, 12),
    ]);
  });

  test("not named leaves no list of tables", async () => {
    const input = await readProblem(join(FIXTURES, "good.json"));
    expect(input.ok && !("tables" in input.value.inputs)).toBe(true);
  });
});

describe("a single slip in a followed file gives a single fault at its place", () => {
  test.each<readonly [string | undefined, string]>([
    [undefined, 'p.json /machines/0/axes/0/motion/0/follow: found no file "t.csv", expected a CSV file'],
    ["", "t.csv:1: found an empty file, expected a header row"],
    ["time [s],position [mm]\n0,0\n", "t.csv:2: found 1 rows below the header, expected at least 2"],
    [
      "time [s]\n0\n1\n",
      "t.csv:1 [position or velocity]: found no such column, expected a column position or velocity with its unit",
    ],
    ["position [mm]\n0\n1\n", "t.csv:1 [time]: found no such column, expected a column time with its unit"],
    [
      "time [s],positon [mm]\n0,0\n1,0\n",
      't.csv:1 [positon [mm]]: found "positon", expected time and one of position, velocity (nearest: "position")',
    ],
    [
      "time [s],position [mm],velocity [mm/s]\n0,0,0\n1,0,0\n",
      "t.csv:1: found columns position and velocity, expected one of position, velocity",
    ],
    [
      "time [s],position [mm],position [m]\n0,0,0\n1,0,0\n",
      't.csv:1 [position [m]]: found column "position" a second time, expected each column once',
    ],
    [
      "time,position [mm]\n0,0\n1,0\n",
      't.csv:1 [time]: found no unit, expected a time with its unit in the header, such as "time [s]"',
    ],
    [
      "time [s],position [deg]\n0,0\n1,0\n",
      't.csv:1 [position [deg]]: found [deg], expected a length with its unit in the header, such as "position [m]"',
    ],
    ["time [s],position [mm]\n0,0\n1,n/a\n", 't.csv:3 [position [mm]]: found "n/a", expected a plain number'],
    ["time [s],position [mm]\n0,0\n1\n", "t.csv:3: found 1 cells, expected 2 cells, as in the header"],
    ["time [s],position [mm]\n0.1,0\n1,0\n", 't.csv:2 [time [s]]: found "0.1", expected 0 in the first row'],
    [
      "time [s],position [mm]\n0,0\n1,5\n1,5\n0.5,0\n",
      't.csv:4 [time [s]]: found "1", expected a time later than in the row before',
    ],
    [
      `${GOOD}3,0\n`,
      "p.json /machines/0/axes/0/motion: found segments of 3 s, expected at most the machine's cycle, 2 s",
    ],
  ])("%j", async (csv, line) => {
    expect(lines(await read(csv))).toEqual([line]);
  });

  test("a rotary axis wants angles", async () => {
    expect(lines(await read(GOOD, { rotary: true }))).toEqual([
      't.csv:1 [position [mm]]: found [mm], expected an angle with its unit in the header, such as "position [rad]"',
    ]);
  });

  test("more rows than stated are refused, as many as stated are not", async () => {
    expect(lines(await read(tableOf(SIZE_LIMITS.tableRows)))).toEqual([]);
    expect(lines(await read(tableOf(SIZE_LIMITS.tableRows + 1)))).toEqual([
      `t.csv:${SIZE_LIMITS.tableRows + 2}: found more rows, expected at most ${SIZE_LIMITS.tableRows} below the header`,
    ]);
  });

  test("a file named twice tells its fault once", async () => {
    expect(lines(await read("time [s],position [mm]\n0,0\n1,x\n", { twice: true }))).toEqual([
      't.csv:3 [position [mm]]: found "x", expected a plain number',
    ]);
  });
});
