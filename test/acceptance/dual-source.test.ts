import { expect, test } from "vitest";
import { type MachinePick, pickKey } from "../../src/verify/answer.ts";
import { bruteForce } from "../oracle/brute-force.ts";
import { decided, pickedBy } from "../oracle/decided.ts";
import { randomDual } from "../oracle/random-dual.ts";

/** Seeds of orders with so few combinations that trying them all is quick. */
const SEEDS: readonly number[] = [
  1, 2, 3, 4, 5, 6, 7, 11, 14, 16, 18, 19, 21, 23, 30, 33, 37, 38, 43, 46, 52, 53, 54, 56, 57, 58, 59, 60, 62, 65, 75,
  78, 79, 81, 85, 89, 91, 94, 95, 96, 97, 98, 99, 1009, 1014, 1015, 1019, 1033, 1034, 1035, 1042, 1049, 1051, 1053,
  1054, 1057, 1058, 1059, 1062, 1067,
];

/** What stepping through time may miss of the energy bill: a share of it. */
const ENERGY_SHARE = 1e-3;
const STEPS = 100;
const MOST = 2000;

function textOf(answer: readonly MachinePick[] | null): string {
  if (answer === null) return "no answer";
  const buses = (own: MachinePick): string[] => own.buses.map((bus) => `${bus.supply?.part} + ${bus.resistor?.part}`);
  return answer.map((own) => [...own.axes.map(pickKey), ...buses(own)].join("\n")).join("\n\n");
}

/** Own oracle: every combination of the catalogues, and every part in the place of every part of each, by the simulation. */
test("with dual source the picks are the cheapest of all combinations that have their substitutes", async () => {
  const found = { "no answer": 0, "none with substitutes": 0, dearer: 0, "the same": 0 };
  for (const seed of SEEDS) {
    const order = randomDual(seed);
    const { best } = bruteForce(order.problem, order.catalogue, MOST, STEPS);
    const dual = await decided(order);
    const plain = await decided({ ...order, problem: { ...order.problem, dualSource: [] } });
    expect(["optimal", "infeasible"]).toContain(dual.status);
    expect(textOf(pickedBy(dual)), order.problem.title).toBe(textOf(best?.answer ?? null));
    const [total, least] = [dual.evaluated?.money.total, plain.evaluated?.money.total];
    if (best !== null && total !== undefined) {
      const room = 1 + ENERGY_SHARE * Math.abs(best.verdict.money.terms.energy);
      expect(Math.abs(total - best.verdict.total), order.problem.title).toBeLessThanOrEqual(room);
      found[total > (least ?? 0) ? "dearer" : "the same"] += 1;
    } else found[least === undefined ? "no answer" : "none with substitutes"] += 1;
  }
  console.log(`${SEEDS.length} orders`, found);
  expect(Math.min(...Object.values(found))).toBeGreaterThanOrEqual(8);
});
