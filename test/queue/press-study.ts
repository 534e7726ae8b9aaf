import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

/** One axis of the test maker's parts, with a force from a table, that solves in some milliseconds. */
const PROBLEM = {
  title: "press",
  catalogs: ["../catalogs/maker"],
  site: { mains: "400 V", phases: 3 },
  machines: [
    {
      id: "m",
      cycle: "2 s",
      axes: [
        {
          id: "x",
          mechanism: { kind: "ball-screw", lead: "20 mm" },
          load: { mass: "14 kg", force: { file: "force.csv" } },
          motion: [{ move: "300 mm", time: "0.45 s" }, { dwell: "0.3 s" }, { move: "-300 mm", time: "0.5 s" }],
        },
      ],
    },
  ],
  weights: { currency: "EUR", energy: { price: "0.21 EUR/kWh", hours_per_year: 5000, years: 5 } },
};

/** Masses that are carried, one that is too much, and dwells of which the longest does not go with the slowest move. */
const STUDY = {
  problem: "../problems/press.json",
  factors: [
    {
      id: "mass",
      at: ["/machines/0/axes/0/load/mass"],
      levels: ["6 kg", "8 kg", "10 kg", "12 kg", "14 kg", "4000 kg"],
    },
    { id: "dwell", at: ["/machines/0/axes/0/motion/1/dwell"], levels: ["0.1 s", "0.3 s", "0.9 s"] },
    { id: "time", at: ["/machines/0/axes/0/motion/0/time"], levels: ["0.4 s", "0.6 s", "0.8 s"] },
  ],
  design: { kind: "full-factorial" },
};

export const RUNS = 54;

/** A folder with problem, table, catalogue and study, none of them in the folder the commands run in. */
export function pressFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "fewframe-queue-"));
  for (const name of ["problems", "catalogs", "studies"]) mkdirSync(join(folder, name));
  cpSync(join(import.meta.dirname, "../input/fixtures/maker"), join(folder, "catalogs/maker"), { recursive: true });
  writeFileSync(join(folder, "problems/press.json"), JSON.stringify(PROBLEM));
  writeFileSync(join(folder, "problems/force.csv"), "time [s],force [N]\n0,0\n0.3,120\n1.2,0\n2,0\n");
  writeFileSync(join(folder, "studies/press.json"), JSON.stringify(STUDY));
  return folder;
}

/** What a finished study leaves: its files, and the keys in its journal, one for each line. */
export interface Left {
  readonly jsonLines: string;
  readonly csv: string;
  readonly keys: readonly string[];
}

export function leftIn(out: string): Left {
  const folder = join(out, "press.study");
  const [jsonLines, csv] = ["runs.jsonl", "runs.csv"].map((name) => readFileSync(join(folder, name), "utf8"));
  return { jsonLines: jsonLines ?? "", csv: csv ?? "", keys: journaled(out) };
}

/** Keys in the journal of a study, finished or not. */
export function journaled(out: string): readonly string[] {
  const journal = join(out, "press.study/journal.jsonl");
  const lines = existsSync(journal) ? readFileSync(journal, "utf8").split("\n") : [];
  return lines.slice(0, -1).map((line) => JSON.parse(line).key);
}
