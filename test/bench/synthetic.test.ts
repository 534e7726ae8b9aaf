import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { syntheticFiles } from "../../bench/synthetic/files.ts";
import { USUAL_WISH, type Wish } from "../../bench/synthetic/wish.ts";
import { writeSynthetic } from "../../bench/synthetic/write-files.ts";
import { decide } from "../../src/decide/decide.ts";
import { isSetup, setupOf } from "../../src/decide/setup.ts";
import { readProblem } from "../../src/input/read-problem.ts";
import type { Catalogue } from "../../src/machine/catalogue.ts";
import type { Problem } from "../../src/machine/problem.ts";
import { orderOracle } from "../../src/verify/evaluate-machine.ts";
import { GEARBOX_RELATIONS } from "../catalogs/gearbox-relations.ts";
import { MOTOR_RELATIONS } from "../catalogs/motor-relations.ts";
import { POWER_RELATIONS } from "../catalogs/power-relations.ts";
import { KINDS, type Kind, type Part, partsOf } from "../catalogs/sheets.ts";
import { plainOrder } from "../oracle/plain-input.ts";
import { solvePlain } from "../oracle/solve-plain.ts";

/** Every switch of a wish at each of its ends. */
const WISHES: readonly Wish[] = [
  USUAL_WISH,
  { ...USUAL_WISH, seed: 2, axes: 4, parts: 100, buses: 2, isCabinetTight: true, hasPriceSteps: false },
  { ...USUAL_WISH, seed: 3, axes: 17, parts: 731, machines: 3, isSupplyTight: true, hasVariety: false, hasCaps: false },
];

/** Reads what a wish makes, by way of files. */
async function readWish(wish: Wish): ReturnType<typeof readProblem> {
  const folder = mkdtempSync(join(tmpdir(), "fewframe-synthetic-"));
  try {
    return await readProblem(writeSynthetic(folder, wish));
  } finally {
    rmSync(folder, { recursive: true });
  }
}

async function readOrder(wish: Wish): Promise<{ readonly problem: Problem; readonly catalogue: Catalogue }> {
  const read = await readWish(wish);
  if (!read.ok) throw new Error(`${read.faults.length} faults: ${JSON.stringify(read.faults[0])}`);
  return read.value;
}

function countOf({ motors, gearboxes, drives, supplies, resistors, inductors }: Catalogue): number {
  return [motors, gearboxes, drives, supplies, resistors, inductors].reduce((sum, { length }) => sum + length, 0);
}

describe("the same wish", () => {
  test.each(WISHES)("gives the same files, another seed gives others: %j", (wish) => {
    const files = syntheticFiles(wish);
    expect([...syntheticFiles(wish)]).toEqual([...files]);
    const others = syntheticFiles({ ...wish, seed: wish.seed + 100 });
    expect([...files].filter(([path, text]) => path.endsWith("motors.csv") && others.get(path) === text)).toEqual([]);
  });
});

describe("what is written", () => {
  test.each(WISHES)("reads without a fault, with as much of everything as was wished: %j", async (wish) => {
    const { problem, catalogue } = await readOrder(wish);
    expect(countOf(catalogue)).toBe(wish.parts);
    expect(problem.machines).toHaveLength(wish.machines);
    expect(problem.machines.flatMap(({ axes }) => axes)).toHaveLength(wish.axes);
    expect(new Set(problem.machines.flatMap(({ axes }) => axes.map(({ bus }) => bus))).size).toBe(wish.buses);
    expect(problem.caps.cabinetWidth !== undefined).toBe(wish.isCabinetTight);
    expect(problem.weights.variety.motor > 0).toBe(wish.hasVariety);
    expect(catalogue.motors.some(({ prices }) => prices.length > 1)).toBe(wish.hasPriceSteps);
    expect(isSetup(setupOf(problem, catalogue))).toBe(true);
  });

  test("ten thousand parts are ten thousand, each with a number of its own", () => {
    const files = syntheticFiles({ ...USUAL_WISH, parts: 10_000 });
    const rows = [...files].flatMap(([path, text]) =>
      path.endsWith(".csv") ? text.trimEnd().split("\n").slice(1) : [],
    );
    expect(rows).toHaveLength(10_000);
    expect(new Set(rows.map((row) => row.split(",")[0])).size).toBe(10_000);
  });
});

/** Parts of a wish, by maker. */
async function partsByMaker(wish: Wish): Promise<Part[][]> {
  const files = [...syntheticFiles(wish)];
  const makers = new Set(files.flatMap(([path]) => (path.startsWith("catalogs/") ? [path.split("/")[1] ?? ""] : [])));
  const sheet = (maker: string, kind: Kind): string =>
    files.find(([path]) => path === `catalogs/${maker}/${kind}.csv`)?.[1] ?? "";
  return Promise.all(
    [...makers].map(async (maker) =>
      (await Promise.all(KINDS.map((kind) => partsOf(kind, maker, sheet(maker, kind))))).flat(),
    ),
  );
}

describe("each maker's sheets keep the relations that the demonstration catalogues keep (sources beside them)", async () => {
  const makers = (await Promise.all(WISHES.map(partsByMaker))).flat();
  const relations = [...MOTOR_RELATIONS, ...GEARBOX_RELATIONS, ...POWER_RELATIONS];
  // Nothing here is slotless, and only those relations have nothing to hold for.
  const idle = relations.filter(({ applies }) => !makers.some((parts) => parts.some(applies)));

  test("all but those of slotless motors and of one maker by name have parts to hold for", () => {
    expect(idle.map(({ title }) => title).toSorted()).toEqual([
      "currents of the broad range are preferred numbers",
      "electrical time constant is 0.1 to 0.5 ms without slots",
      "slotless motors have no detents and no slots, and frames up to 60 mm",
    ]);
  });

  test.each(relations.filter((relation) => !idle.includes(relation)))("$kind: $title ($source)", ({ offenders }) => {
    expect(makers.flatMap(offenders)).toEqual([]);
  });
});

/** About `count` of a list, evenly spread. */
function spread<T>(list: readonly T[], count: number): T[] {
  const step = Math.max(1, Math.floor(list.length / count));
  return list.filter((_, at) => at % step === 0).slice(0, count);
}

/** So few parts that HiGHS gets through the plain model: a fair share with brakes among the motors. */
function thinned(all: Catalogue): Catalogue {
  const braked = all.motors.filter(({ brakeTorque }) => brakeTorque !== undefined);
  const bare = all.motors.filter(({ brakeTorque }) => brakeTorque === undefined);
  return {
    ...all,
    motors: [...spread(braked, 4), ...spread(bare, 4)],
    gearboxes: spread(all.gearboxes, 5),
    drives: spread(all.drives, 4),
    resistors: all.resistors.slice(0, 1),
    inductors: [],
  };
}

/** Stacks and single axes, with tight limits and without. */
const SOLVED: readonly Wish[] = [
  { ...USUAL_WISH, seed: 4, axes: 3, parts: 200, carried: 1 },
  { ...USUAL_WISH, seed: 5, axes: 3, parts: 200, carried: 0, isCabinetTight: true },
  { ...USUAL_WISH, seed: 6, axes: 3, parts: 200, carried: 0, isSupplyTight: true },
];

test.each(SOLVED)("a small order: the optimum equals HiGHS on the plain model within 3 cents: %j", async (wish) => {
  const { problem, catalogue: all } = await readOrder(wish);
  const catalogue = thinned(all);
  const setup = setupOf(problem, catalogue);
  if (!isSetup(setup)) throw new Error("a motion cannot be");
  const decision = await decide(setup, {
    engine: "simplex",
    secondsLeft: () => 100,
    aborted: () => false,
    progress: () => undefined,
    ties: false,
  });
  const { input: plain, judge } = plainOrder(problem, catalogue, orderOracle(problem, catalogue));
  const found = await solvePlain(plain, judge);
  // What is tight may be too tight for so few parts: then both must say so.
  expect(decision.status).toBe(found === null ? "infeasible" : "optimal");
  expect(found !== null || wish.isCabinetTight || wish.isSupplyTight).toBe(true);
  expect(Math.abs((decision.evaluated?.money.total ?? -1) - (found?.cost ?? -1))).toBeLessThanOrEqual(3);
});
