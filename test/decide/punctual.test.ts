import { expect, test } from "vitest";
import { readProblem } from "../../src/input/read-problem.ts";
import type { AnyPart } from "../../src/machine/catalogue.ts";
import { textOf } from "../oracle/agreement.ts";
import { bruteForce } from "../oracle/brute-force.ts";
import { decided, pickedBy } from "../oracle/decided.ts";
import { type RandomMachine, randomMachine } from "../oracle/random-machine.ts";

const partsOf = ({ catalogue: c }: RandomMachine): AnyPart[] => [
  ...c.motors,
  ...c.gearboxes,
  ...c.drives,
  ...c.inductors,
  ...c.supplies,
  ...c.resistors,
];

/** The order with a cap on lead time that about half of its parts keep. */
function hurried({ problem, catalogue }: RandomMachine): RandomMachine {
  const times = partsOf({ problem, catalogue })
    .map(({ leadTime }) => leadTime ?? Infinity)
    .toSorted((a, b) => a - b);
  const leadTime = times.findLast((time, k) => k <= 0.7 * times.length && time < Infinity) ?? 30;
  return { catalogue, problem: { ...problem, caps: { ...problem.caps, leadTime } } };
}

test("a cap on lead time takes away late and silent parts and nothing else: the answer that trying everything finds", async () => {
  let [changed, answered] = [0, 0];
  for (let seed = 7000; seed < 7014; seed += 1) {
    const order = hurried(randomMachine(seed));
    const { best } = bruteForce(order.problem, order.catalogue);
    const decision = await decided(order);
    const picks = pickedBy(decision);
    expect([seed, picks === null ? null : textOf(picks)]).toEqual([seed, best === null ? null : textOf(best.answer)]);
    // Late parts never reach the search: it does not judge them one by one.
    expect([seed, decision.stats.reduce((sum, { judged }) => sum + judged, 0) < 100]).toEqual([seed, true]);
    answered += picks === null ? 0 : 1;
    changed += textOf(pickedBy(await decided(randomMachine(seed))) ?? []) === textOf(picks ?? []) ? 0 : 1;
  }
  expect(answered).toBeGreaterThan(1);
  expect(changed).toBeGreaterThan(3);
});

test("where every supply comes too late the order is infeasible at once", async () => {
  const { problem, catalogue } = randomMachine(5000);
  const free = await decided({ problem, catalogue });
  expect(free.status).toBe("optimal");
  const supplies = catalogue.supplies.map(({ leadTime: _silent, ...supply }) => supply);
  const order = {
    problem: { ...problem, caps: { leadTime: 1000 } },
    catalogue: {
      ...catalogue,
      motors: catalogue.motors.map((part) => ({ ...part, leadTime: 5 })),
      gearboxes: catalogue.gearboxes.map((part) => ({ ...part, leadTime: 5 })),
      drives: catalogue.drives.map((part) => ({ ...part, leadTime: 5 })),
      inductors: catalogue.inductors.map((part) => ({ ...part, leadTime: 5 })),
      resistors: catalogue.resistors.map((part) => ({ ...part, leadTime: 5 })),
    },
  };
  expect((await decided({ ...order, catalogue: { ...order.catalogue, supplies } })).status).toBe("infeasible");
  const onTime = supplies.map((supply) => ({ ...supply, leadTime: 1000 }));
  const decision = await decided({ ...order, catalogue: { ...order.catalogue, supplies: onTime } });
  expect([decision.status, decision.evaluated?.money.total]).toEqual(["optimal", free.evaluated?.money.total]);
});

test("the demo under a cap that shuts out parts of its answer: proved, with nothing late in it", async () => {
  const input = await readProblem("problems/tray-transplanter.json");
  if (!input.ok) throw new Error("the demo does not read");
  const { problem, catalogue } = input.value;
  const days = 25;
  const decision = await decided({ problem: { ...problem, caps: { ...problem.caps, leadTime: days } }, catalogue });
  expect(decision.status).toBe("optimal");
  const bought = (pickedBy(decision) ?? []).flatMap(({ axes, buses }) => [
    ...axes.flatMap(({ motor, gearbox, drive, inductor }) => [motor, gearbox, drive, inductor]),
    ...buses.flatMap(({ supply, resistor }) => [supply, resistor]),
  ]);
  const times = bought.flatMap((part) => (part === null ? [] : [part.leadTime ?? Infinity]));
  expect(times.length).toBeGreaterThan(5);
  expect(Math.max(...times)).toBeLessThanOrEqual(days);
});
