import { appendFile, cp, mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { fewframeIn, ROOT, type Run } from "./built.ts";

const STEM = "drum-feeder-imperial";

let folder = "";

/** The command in a folder with problems and catalogues of its own. */
async function fewframe(...args: readonly string[]): Promise<Run> {
  return fewframeIn(folder, args);
}

beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  for (const name of ["problems", "catalogs"]) await cp(join(ROOT, name), join(folder, name), { recursive: true });
  await fewframe("solve", `problems/${STEM}.json`, "--no-explain", "--quiet", "--out", "out");
});
afterAll(async () => rm(folder, { recursive: true }));

const RESULT = `out/${STEM}.result.json`;

test("a result agrees: exit 0, and the print is that of the README", async () => {
  const { code, out, err } = await fewframe("verify", RESULT);
  expect(err).toBe("");
  expect(code).toBe(0);
  expect(out.split("\n").filter((line) => line.length > 80)).toEqual([]);
  const readme = await readFile(join(ROOT, "README.md"), "utf8");
  const [, shown] = /<!-- verify-print: begin -->\n```\n([^]*?)```\n<!-- verify-print: end -->/.exec(readme) ?? [];
  expect(out).toBe(shown);
});

test("the result names its inputs as seen from its own folder", async () => {
  const { inputs } = JSON.parse(await readFile(join(folder, RESULT), "utf8"));
  expect(inputs.problem.path).toBe(`../problems/${STEM}.json`);
  expect(inputs.catalogs[0].path).toBe("../catalogs/dunmarrow/catalog.json");
});

test("catalogues named by whole paths are found to be the same, wherever result and problem are seen from", async () => {
  const text = await readFile(join(folder, `problems/${STEM}.json`), "utf8");
  await writeFile(join(folder, "whole.json"), text.replaceAll("../catalogs", join(folder, "catalogs")));
  for (const problem of ["whole.json", join(folder, "whole.json")]) {
    await fewframe("solve", problem, "--no-explain", "--quiet", "--out", "whole");
    for (const result of ["whole/whole.result.json", join(folder, "whole/whole.result.json")]) {
      expect(await fewframe("verify", result, "--json")).toMatchObject({ code: 0, err: "" });
    }
  }
  await appendFile(join(folder, "catalogs/dunmarrow/resistors.csv"), "\n");
  try {
    const { code, err } = await fewframe("verify", "whole/whole.result.json");
    expect(code).toBe(3);
    expect(err).toMatch(/^\S+resistors\.csv: found content[^\n]*\n1 fault\n$/);
  } finally {
    await cp(join(ROOT, "catalogs/dunmarrow"), join(folder, "catalogs/dunmarrow"), { recursive: true });
  }
});

test("--json prints one document, --series writes the curves of every axis and bus", async () => {
  const { code, out, err } = await fewframe("verify", RESULT, "--json", "--series", "curves");
  expect(code).toBe(0);
  expect(JSON.parse(out)).toMatchObject({ format: "fewframe-verification/1", agrees: true, changed: [] });
  expect(err).toMatch(/^wrote /);
  expect((await readdir(join(folder, "curves"))).toSorted()).toEqual(["feeder-bus-main.csv", "feeder-drum.csv"]);
  const [header, ...rows] = (await readFile(join(folder, "curves", "feeder-drum.csv"), "utf8")).trimEnd().split("\n");
  expect(header).toContain("time [s],position [rad],speed [rad/s],motor speed [rpm],motor torque [N*m]");
  expect(rows.length).toBeGreaterThan(1000);
  expect(rows.every((row) => row.split(",").every((cell) => cell !== "" && Number.isFinite(Number(cell))))).toBe(true);
});

test("a demand that is off by 0.2 % exits 6 and names the limit", async () => {
  const doc = JSON.parse(await readFile(join(folder, RESULT), "utf8"));
  const [limit] = doc.machines[0].axes[0].limits;
  limit.demand *= 1.002;
  limit.utilisation *= 1.002;
  await writeFile(join(folder, "out", "tampered.json"), JSON.stringify(doc));
  const { code, out } = await fewframe("verify", "out/tampered.json");
  expect(code).toBe(6);
  expect(out).toMatch(new RegExp(`^DIFFERS +drum: ${limit.id} is [^]*0\\.2 % apart`, "m"));
});

test("a result from standard output is verified, too, from the folder it was made in", async () => {
  const { out: text } = await fewframe("solve", `problems/${STEM}.json`, "--no-explain", "--quiet", "--json");
  await writeFile(join(folder, "out", "printed.json"), text);
  const { code } = await fewframe("verify", "out/printed.json", "--json");
  expect(code).toBe(0);
});

test("a changed catalogue exits 3 and is named; --allow-changed goes on and says so", async () => {
  const drives = join(folder, "catalogs", "dunmarrow", "drives.csv");
  const before = await readFile(drives);
  await appendFile(drives, "\n");
  try {
    const { code, out, err } = await fewframe("verify", RESULT);
    expect(code).toBe(3);
    expect(out).toBe("");
    expect(err).toMatch(/drives\.csv: found content of SHA-256 [0-9a-f]{12}[^]*1 fault\n$/);
    const allowed = await fewframe("verify", RESULT, "--allow-changed");
    expect(allowed.code).toBe(0);
    expect(allowed.out).toMatch(/^CHANGED .*[^]*drives\.csv/m);
  } finally {
    await writeFile(drives, before);
  }
});

test("a result that is not there exits 3, an unknown option 2", async () => {
  expect((await fewframe("verify", "out/none.json")).code).toBe(3);
  expect((await fewframe("verify", RESULT, "--quick")).code).toBe(2);
});
