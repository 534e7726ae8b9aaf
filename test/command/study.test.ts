import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { setTimeout } from "node:timers/promises";
import { afterAll, beforeAll, expect, test } from "vitest";
import { departures } from "../study/document-schema.ts";
import { fewframe } from "./built.ts";

let folder = "";
let study = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "fewframe-"));
  study = join(folder, "feeder.json");
  const at = ["/machines/0/axes/0/motion/*/time"];
  await writeFile(
    study,
    JSON.stringify({
      problem: resolve("problems/drum-feeder-imperial.json"),
      factors: [
        { id: "pace", at, apply: "multiply", range: [0.8, 1.2] },
        { id: "inertia", at: ["/machines/0/axes/0/load/inertia"], range: ["40 lb*in^2", "90 lb*in^2"] },
      ],
      design: { kind: "full-factorial", levels: 5 },
      responses: [
        { id: "total", at: "/objective/total", want: "less" },
        { id: "motor", at: "/machines/0/axes/0/motor" },
      ],
    }),
  );
});
afterAll(async () => rm(folder, { recursive: true }));

/** Everything a study leaves behind but its journal, whose order is the order in which runs came in. */
async function finished(out: string): Promise<Record<string, string>> {
  const within = join(folder, out, "feeder.study");
  const names = (await readdir(within)).filter((name) => !name.startsWith("journal")).toSorted();
  return Object.fromEntries(
    await Promise.all(names.map(async (name) => [name, await readFile(join(within, name), "utf8")] as const)),
  );
}

async function journalLines(out: string): Promise<readonly string[]> {
  const text = await readFile(join(folder, out, "feeder.study", "journal.jsonl"), "utf8").catch(() => "");
  return text.split("\n").filter((line) => line !== "");
}

/** Waits until a run more is in, or the study is gone. */
async function anotherLine(out: string, before: number, child: ChildProcess): Promise<void> {
  while (child.exitCode === null && (await journalLines(out)).length === before) await setTimeout(20);
}

/** Ten moments after the start [ms], drawn once from 100 to 1,500. */
const MOMENTS = [1222, 316, 941, 1388, 129, 677, 1490, 530, 1104, 263];

function begun(out: string): ChildProcess {
  const args = ["dist/cli/main.js", "study", study, "--out", join(folder, out), "--quiet"];
  return spawn(process.execPath, args, { stdio: "ignore" });
}

test("killed at ten random moments and begun again each time, it leaves the same files, no run lost or doubled", async () => {
  const undisturbed = await fewframe("study", study, "--out", join(folder, "whole"), "--quiet");
  expect(undisturbed).toMatchObject({ code: 0, err: "" });
  let kills = 0;
  for (const moment of MOMENTS) {
    const child = begun("killed");
    const gone = once(child, "exit");
    const before = (await journalLines("killed")).length;
    // Half of them before the first new run is in, half a moment after one came in.
    await Promise.race([setTimeout(moment), gone]);
    if (kills % 2 === 1) await anotherLine("killed", before, child);
    child.kill("SIGKILL");
    await gone;
    kills += 1;
  }
  expect(kills).toBe(10);
  const last = await fewframe("study", study, "--out", join(folder, "killed"), "--quiet");
  expect(last.code).toBe(0);
  expect(await finished("killed")).toEqual(await finished("whole"));
  expect(departures(JSON.parse((await finished("whole"))["study.json"] ?? ""))).toEqual([]);
  expect(last.out).toBe(undisturbed.out);
  const keys = (await journalLines("killed")).map((line) => /"key":"([0-9a-f]+)"/u.exec(line)?.[1]);
  expect(new Set(keys).size).toBe(25);
  expect(keys).toHaveLength(25);
}, 240_000);
