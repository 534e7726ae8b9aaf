import { expect, test } from "vitest";
import { cappedAxes } from "../../src/decide/capped.ts";
import type { JudgedAxes } from "../../src/decide/field.ts";
import { judgedAxes } from "../../src/decide/narrow.ts";
import { punctual } from "../../src/decide/punctual.ts";
import type { Catalogue } from "../../src/machine/catalogue.ts";
import type { Problem } from "../../src/machine/problem.ts";
import { type MachinePick, pickKey } from "../../src/verify/answer.ts";
import type { AxisPick } from "../../src/verify/evaluate-pick.ts";
import { bruteForce } from "../oracle/brute-force.ts";
import { decided } from "../oracle/decided.ts";
import { randomMachine } from "../oracle/random-machine.ts";

/** Keys of the candidates that are left of each axis. */
function keysLeft(judged: JudgedAxes, { motors, gearboxes, drives, inductors }: Catalogue): Set<string>[][] {
  const keyOf = (motor: number, gearbox: number, drive: number, inductor: number): string =>
    [motors[motor], gearboxes[gearbox], drives[drive], inductors[inductor]]
      .map((part) => (part === undefined ? "-" : `${part.maker} / ${part.part}`))
      .join(" | ");
  return judged.map((axes) =>
    axes.map(({ looks }) => {
      const keys = new Set<string>();
      for (const { judged: own } of looks)
        own.pairs.forEach(({ motor, gearbox, inductors: chokes }, p) => {
          own.states[p]?.state.forEach((how, drive) => {
            if (how % 2 === 1) keys.add(keyOf(motor, gearbox, drive, -1));
            if (how >= 2)
              for (const inductor of chokes.get(drive) ?? []) keys.add(keyOf(motor, gearbox, drive, inductor));
          });
        });
      return keys;
    }),
  );
}

/** Picks of the answer that a reduction dropped. */
function lost(answer: readonly MachinePick[], left: readonly (readonly Set<string>[])[]): string[] {
  return answer.flatMap(({ axes }, m) =>
    axes.flatMap((pick: AxisPick, a) => (left[m]?.[a]?.has(pickKey(pick)) ? [] : [`${m} ${a} ${pickKey(pick)}`])),
  );
}

const sizeOf = (left: readonly (readonly Set<string>[])[]): number =>
  left.flat().reduce((sum, { size }) => sum + size, 0);

/** The cheapest answer just meets every cap that is a sum, and the longest of its lead times. */
function tightened(
  problem: Problem,
  {
    money,
    answer,
  }: { money: { totals: readonly { mass: number; width: number; price: number }[] }; answer: readonly MachinePick[] },
): Problem {
  const most = (of: (sums: { mass: number; width: number; price: number }) => number): number =>
    Math.max(...money.totals.map(of));
  const parts = answer.flatMap(({ axes, buses }) => [
    ...axes.flatMap(({ motor, gearbox, drive, inductor }) => [motor, gearbox, drive, inductor]),
    ...buses.flatMap(({ supply, resistor }) => [supply, resistor]),
  ]);
  const times = parts.flatMap((part) => (part === null ? [] : [part.leadTime ?? Infinity]));
  const leadTime = Math.max(...times);
  return {
    ...problem,
    caps: {
      ...problem.caps,
      mass: most(({ mass }) => mass),
      cabinetWidth: most(({ width }) => width),
      price: most(({ price }) => price),
      ...(Number.isFinite(leadTime) ? { leadTime } : {}),
    },
  };
}

test("caps, judging, sifting and narrowing keep every pick of the best answer, also where each cap is just met", async () => {
  let [answers, dropped, sifted] = [0, 0, 0];
  for (let seed = 5000; seed < 5010; seed += 1) {
    const { problem: free, catalogue } = randomMachine(seed);
    const { best } = bruteForce(free, catalogue);
    if (best === null) continue;
    answers += 1;
    const problem = tightened(free, { money: best.verdict.money, answer: best.answer });
    const { setup, prepared, evaluated } = await decided({ problem, catalogue });
    const judged = judgedAxes(setup);
    const before = keysLeft(judged, catalogue);
    expect([seed, lost(best.answer, before)]).toEqual([seed, []]);
    const left = punctual(setup, judged);
    const capped = keysLeft(cappedAxes(left.setup, left.judged), catalogue);
    expect([seed, lost(best.answer, capped)]).toEqual([seed, []]);
    dropped += sizeOf(before) - sizeOf(capped);
    // What the solver was given, one way of braking or the other.
    const given = setup.machines.map(({ axes }, m) =>
      axes.map((_, a) => new Set(prepared.flatMap(({ columns }) => columns[m]?.[a]?.columns ?? []).map(columnKey))),
    );
    expect([seed, evaluated?.money.total]).toEqual([seed, best.verdict.total]);
    expect([seed, lost(best.answer, given)]).toEqual([seed, []]);
    sifted += sizeOf(capped) - sizeOf(given);
  }
  expect(answers).toBeGreaterThan(3);
  expect(dropped).toBeGreaterThan(10);
  expect(sifted).toBeGreaterThan(0);
});

type Given = Awaited<ReturnType<typeof decided>>["prepared"][number]["columns"][number][number]["columns"][number];

const columnKey = ({ motor, gearbox, drive, inductor }: Given): string =>
  pickKey({ motor, gearbox: gearbox ?? null, drive, inductor: inductor ?? null });
