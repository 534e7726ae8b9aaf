import { expect, test } from "vitest";
import type { Catalogue } from "../../src/machine/catalogue.ts";
import type { Problem } from "../../src/machine/problem.ts";
import type { RideDownResult } from "../../src/machine/result.ts";
import { emptied, takenAt } from "../../src/verify/empty-bus.ts";
import { orderOracle } from "../../src/verify/evaluate-machine.ts";
import { picksOf } from "../../src/verify/picks.ts";
import { type RideDown, steppedRideDown } from "../../src/verify/ride-down.ts";
import { Dice, rounded } from "../oracle/random.ts";
import { withLinks } from "../oracle/random-linked.ts";
import { type RandomMachine, randomMachine } from "../oracle/random-machine.ts";
import { withModes } from "../oracle/random-modes.ts";
import { resultOf } from "../oracle/random-result.ts";

/** Brakes with times, capacitors large or small, drives that need a voltage: some of it left out. */
function withBrakes(dice: Dice, catalogue: Catalogue): Catalogue {
  const size = dice.spread(0.02, 1);
  const isSilent = dice.chance(0.15);
  return {
    ...catalogue,
    motors: catalogue.motors.map((motor) =>
      isSilent || motor.brakeTorque === undefined
        ? motor
        : { ...motor, brakeCloseTime: rounded(dice.between(0.01, 0.15)) },
    ),
    drives: catalogue.drives.map((drive) => ({ ...drive, capacitance: drive.capacitance * size })),
    supplies: catalogue.supplies.map((supply) => ({ ...supply, capacitance: supply.capacitance * size })),
  };
}

function withStops(dice: Dice, problem: Problem): Problem {
  return {
    ...problem,
    machines: problem.machines.map((machine) =>
      dice.chance(0.4) ? { ...machine, emergencyStopTime: rounded(dice.between(0.05, 0.4)) } : machine,
    ),
  };
}

function drawn(seed: number): RandomMachine {
  const dice = new Dice(seed);
  const plain = randomMachine(seed);
  const linked = seed % 3 === 0 ? withLinks(plain, seed) : plain;
  const { problem, catalogue } = seed % 2 === 0 ? withModes(linked, seed) : linked;
  return { problem: withStops(dice, problem), catalogue: withBrakes(dice, catalogue) };
}

/** What the program says of every bus on which something hangs, and what stepping through time does. */
async function bothOf(random: RandomMachine): Promise<{ said: RideDownResult; seen: RideDown | null }[]> {
  const stated = await resultOf(random);
  if (stated === undefined) return [];
  const picked = picksOf("random", stated, random);
  if (!picked.ok) throw new Error(JSON.stringify(picked.faults));
  const oracle = orderOracle(random.problem, random.catalogue, 100);
  return picked.value.flatMap(({ machine, buses, pick }, m) =>
    machine.buses.flatMap((bus, b) => {
      const said = buses[b]?.ride_down;
      return said ? [{ said, seen: steppedRideDown(oracle, m, bus, pick) }] : [];
    }),
  );
}

/** Largest difference, as a share of the energy at the beginning and of the time. */
function differenceOf(said: RideDownResult, seen: RideDown | null): number {
  if (seen === null || (seen.lowest === null) !== (said.lowest_voltage === null)) return Infinity;
  if ((seen.lost === null) !== (said.lost_after === null)) return Infinity;
  const squares = Math.abs((seen.lowest ?? 0) ** 2 - (said.lowest_voltage ?? 0) ** 2) / said.start_voltage ** 2;
  const times = Math.abs((seen.lost ?? 0) - (said.lost_after ?? 0)) / Math.max(seen.lost ?? 0, 0.01 * seen.end);
  return Math.max(squares, times);
}

test("what failing mains do to random machines is the same stepped through time", { timeout: 600_000 }, async () => {
  const found: { said: RideDownResult; difference: number }[] = [];
  for (let seed = 5000; seed < 5060; seed++) {
    const both = await bothOf(drawn(seed));
    found.push(...both.map(({ said, seen }) => ({ said, difference: differenceOf(said, seen) })));
  }
  expect(found.filter(({ difference }) => difference > 1e-3)).toEqual([]);
  const count = (is: (said: RideDownResult) => boolean): number => found.filter(({ said }) => is(said)).length;
  expect(count(({ lowest_voltage: lowest }) => lowest !== null)).toBeGreaterThan(10);
  expect(count(({ lost_after: lost }) => lost !== null)).toBeGreaterThan(10);
  expect(count(({ mode }) => mode !== undefined)).toBeGreaterThan(3);
  expect(new Set(found.map(({ said }) => said.carries))).toEqual(new Set([true, false, null]));
});

test("a course is straight between its times, and goes on as it ends", () => {
  const course = { times: [0, 1, 3], taken: [0, 10, 4], after: 5 };
  expect([0, 0.5, 1, 2, 3, 5].map((time) => takenAt(course, time))).toEqual([0, 5, 10, 7, 4, 14]);
});

test("100 J of which 60 are to stay are lost after 40 J, whatever comes back later; nothing comes back beyond the top", () => {
  const course = { times: [0, 1, 2], taken: [0, 50, -100], after: 20 };
  const store = { start: 100, most: 120, least: 60 };
  expect(emptied([course], store, { end: 2, watts: 0 })).toEqual({ lowest: 50, lost: 0.8 });
  expect(emptied([course], { ...store, least: 10 }, { end: 2, watts: 0 })).toEqual({ lowest: 50, lost: Infinity });
  // 120 J at 2 s, then 20 W and 2 W more.
  const forever = emptied([course], { ...store, least: 10 }, { end: Infinity, watts: 2 });
  expect(forever.lowest).toBe(-Infinity);
  expect(forever.lost).toBeCloseTo(2 + 110 / 22, 12);
});
