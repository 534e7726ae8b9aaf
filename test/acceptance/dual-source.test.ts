import { expect, test } from "vitest";
import { type MachinePick, pickKey } from "../../src/verify/answer.ts";
import { orderOracle } from "../../src/verify/evaluate-machine.ts";
import { bruteForce } from "../oracle/brute-force.ts";
import { decided, pickedBy } from "../oracle/decided.ts";
import { randomDual } from "../oracle/random-dual.ts";
import { withModes } from "../oracle/random-modes.ts";

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

const bus = ({ supply, resistor }: MachinePick["buses"][number]): string => `${supply?.part} + ${resistor?.part}`;

function textOf(answer: readonly MachinePick[] | null): string {
  if (answer === null) return "no answer";
  return answer.map(({ axes, buses }) => [...axes.map(pickKey), ...buses.map(bus)].join("\n")).join("\n\n");
}

/** What dual source did to an order; NaN: no answer. */
function kindOf(total: number, least: number): "no answer" | "none with substitutes" | "dearer" | "the same" {
  if (Number.isNaN(least)) return "no answer";
  if (Number.isNaN(total)) return "none with substitutes";
  return total > least ? "dearer" : "the same";
}

/** Own oracle: every combination of the catalogues, and every part in the place of every part of each, by the simulation. */
test("with dual source the picks are the cheapest of all combinations that have their substitutes", async () => {
  const found = { "no answer": 0, "none with substitutes": 0, dearer: 0, "the same": 0 };
  for (const seed of SEEDS) {
    const order = randomDual(seed);
    const { best } = bruteForce(
      order.problem,
      order.catalogue,
      MOST,
      orderOracle(order.problem, order.catalogue, STEPS),
    );
    const dual = await decided(order);
    const plain = await decided({ ...order, problem: { ...order.problem, dualSource: [] } });
    expect(["optimal", "infeasible"]).toContain(dual.status);
    expect(textOf(pickedBy(dual)), `seed ${seed}`).toBe(textOf(best?.answer ?? null));
    const [total = Number.NaN, least = Number.NaN] = [dual.evaluated?.money.total, plain.evaluated?.money.total];
    const room = 1 + ENERGY_SHARE * Math.abs(best?.verdict.money.terms.energy ?? 0);
    const apart = best === null ? 0 : Math.abs(total - best.verdict.total);
    expect(apart, `seed ${seed}`).toBeLessThanOrEqual(room);
    found[kindOf(total, least)] += 1;
  }
  console.log(`${SEEDS.length} orders`, found);
  expect(Math.min(...Object.values(found))).toBeGreaterThanOrEqual(8);
});

test("a substitute must pass in every mode of its machine: the same with modes", async () => {
  const found = { answer: 0, none: 0 };
  for (const seed of [5, 6, 14, 19, 33, 95, 1014, 1042, 9, 23, 53]) {
    const order = withModes(randomDual(seed), seed);
    const { best } = bruteForce(
      order.problem,
      order.catalogue,
      MOST,
      orderOracle(order.problem, order.catalogue, STEPS),
    );
    expect(textOf(pickedBy(await decided(order))), `seed ${seed}`).toBe(textOf(best?.answer ?? null));
    found[best === null ? "none" : "answer"] += 1;
  }
  expect(Math.min(...Object.values(found))).toBeGreaterThanOrEqual(2);
});
