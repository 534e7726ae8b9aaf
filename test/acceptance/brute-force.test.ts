import { expect, test } from "vitest";
import type { Decision } from "../../src/decide/decide.ts";
import type { Needs } from "../../src/machine/problem.ts";
import { type MachinePick, pickKey } from "../../src/verify/answer.ts";
import { type OrderOracle, orderOracle } from "../../src/verify/evaluate-machine.ts";
import { type BruteForce, bruteForce, compareTies } from "../oracle/brute-force.ts";
import { decided, pickedBy } from "../oracle/decided.ts";
import { type RandomMachine, randomMachine } from "../oracle/random-machine.ts";

/** Seeds of the machines that are tried; most of them have an answer. */
const SEEDS = Array.from({ length: 240 }, (_, k) => 2000 + k);

/** Nearer to 1 than this, stepping through time may see a limit pass that does not, or the other way round. */
const NEAR = 0.002;
/** What 2000 steps in each law piece may miss of the energy bill: a share of it, and rounding to whole cents. */
const ENERGY_SHARE = 2e-5;

type Outcome =
  | { readonly kind: "same"; readonly feasible: boolean }
  | { readonly kind: "near"; readonly closeness: number }
  | { readonly kind: "energy-tie" }
  | { readonly kind: "wrong"; readonly why: string };

const bus = ({ supply, resistor }: MachinePick["buses"][number]): string =>
  `${supply?.part ?? "-"} + ${resistor?.part ?? "-"}`;

function textOf(answer: readonly MachinePick[]): string {
  return answer.map(({ axes, buses }) => [...axes.map(pickKey), ...buses.map(bus)].join("\n")).join("\n\n");
}

/** Compares what was decided with the cheapest answer of all. */
function outcomeOf(title: string, decision: Decision, { best }: BruteForce, fine: OrderOracle): Outcome {
  const mine = pickedBy(decision);
  const wrong = (why: string): Outcome => ({ kind: "wrong", why: `${title}: ${why}` });
  if (mine === null || decision.evaluated === undefined) {
    if (decision.status !== "infeasible") return wrong(`stopped as ${decision.status}`);
    if (best === null) return { kind: "same", feasible: false };
    if (best.verdict.closeness < NEAR) return { kind: "near", closeness: best.verdict.closeness };
    return wrong(`nothing found, but this stands at ${best.verdict.total}:\n${textOf(best.answer)}`);
  }
  if (decision.status !== "optimal") return wrong(`stopped as ${decision.status}`);
  const seen = fine.evaluate(mine);
  const { total, terms } = decision.evaluated.money;
  const closeness = Math.min(seen.closeness, best?.verdict.closeness ?? 1);
  if (!seen.feasible || best === null) {
    if (closeness < NEAR) return { kind: "near", closeness };
    return wrong(`the pick fails ${seen.failed.join(", ")}:\n${textOf(mine)}`);
  }
  const energy = seen.money.terms.energy;
  const room = energy === 0 && terms.energy === 0 ? 0 : 1 + ENERGY_SHARE * Math.abs(energy);
  if (Math.abs(total - seen.total) > room) return wrong(`costs ${seen.total}, not ${total}:\n${textOf(mine)}`);
  if (textOf(mine) === textOf(best.answer)) return { kind: "same", feasible: true };
  if (closeness < NEAR) return { kind: "near", closeness };
  if (room > 0 && Math.abs(total - best.verdict.total) <= 2 * room) return { kind: "energy-tie" };
  const tie = compareTies({ answer: mine, money: seen.money }, { answer: best.answer, money: best.verdict.money });
  return wrong(
    `picks at ${total}\n${textOf(mine)}\nand not at ${best.verdict.total}${total === best.verdict.total ? ` (tie ${tie})` : ""}\n${textOf(best.answer)}`,
  );
}

/** Every limit of the program's picks against the oracle's on a finer grid; the differences that are too large. */
function limitDifferences({ problem }: RandomMachine, decision: Decision, fine: OrderOracle): string[] {
  const mine = pickedBy(decision);
  if (mine === null || decision.evaluated === undefined) return [];
  const { axes: verdicts, buses } = fine.evaluate(mine);
  const found: string[] = [];
  const compare = (
    where: string,
    id: string,
    mineAndTheirs: readonly [number, number, number, number] | undefined,
  ): void => {
    if (mineAndTheirs === undefined) {
      found.push(`${where} ${id}: judged by one of the two alone`);
      return;
    }
    const [demand, allowed, theirDemand, theirAllowed] = mineAndTheirs;
    const room = 0.001 * Math.max(demand, 0.01 * allowed);
    if (Math.abs(demand - theirDemand) > room || Math.abs(allowed - theirAllowed) > 0.001 * allowed)
      found.push(`${where} ${id}: ${demand} of ${allowed}, oracle ${theirDemand} of ${theirAllowed}`);
  };
  for (const [m, { axes, buses: judgedBuses }] of decision.evaluated.machines.entries()) {
    const machine = problem.machines[m];
    for (const [a, { judgement }] of axes.entries()) {
      const where = `${problem.title} ${machine?.axes[a]?.id}`;
      const theirs = verdicts[m]?.[a];
      const ids = new Set([...judgement.limits.map(({ id }) => id), ...(theirs?.limits.map(({ id }) => id) ?? [])]);
      // The bus judges this one, with its chopper.
      ids.delete("drive.bus_voltage");
      for (const id of ids) {
        const own = judgement.limits.find((limit) => limit.id === id);
        const other = theirs?.limits.find((limit) => limit.id === id);
        const pair =
          own === undefined || other === undefined
            ? undefined
            : ([own.demand, own.allowed, other.demand, other.allowed] as const);
        // Where two instants are equally bad, the torque may be that of either: their share of the envelope counts.
        if (id === "motor.torque_at_speed" && pair !== undefined)
          compare(where, id, [pair[0] / pair[1], 1, pair[2] / pair[3], 1]);
        else compare(where, id, pair);
      }
      const unknown = judgement.unchecked.map(({ id }) => id).toSorted();
      const others = theirs?.unchecked.map(({ id }) => id).toSorted() ?? [];
      if (unknown.join() !== others.join()) found.push(`${where}: not checked ${unknown.join()} and ${others.join()}`);
    }
    for (const [b, { judgement }] of judgedBuses.entries()) {
      const before = decision.evaluated.machines.slice(0, m).reduce((sum, other) => sum + other.buses.length, 0);
      for (const own of judgement.limits) {
        const other = buses[before + b]?.find(({ id }) => id === own.id);
        // Without a resistor picked the two may look at different ways of braking, both of which hold.
        if (other !== undefined)
          compare(`${problem.title} bus ${b}`, own.id, [own.demand, own.allowed, other.demand, other.allowed]);
      }
    }
  }
  return found;
}

/** What the drawn machines exercise, so that a change of the dice cannot quietly make the test an easy one. */
function covered(machines: readonly RandomMachine[]): Record<string, number> {
  const count = (is: (machine: RandomMachine) => boolean): number => machines.filter(is).length;
  const anyAxis = (is: (needs: Needs) => boolean) =>
    count(({ problem }) => problem.machines.some(({ axes }) => axes.some(({ needs }) => is(needs))));
  return {
    carried: count(({ problem }) =>
      problem.machines.some(({ axes }) => axes.some(({ carriedBy }) => carriedBy !== undefined)),
    ),
    samePick: count(({ problem }) => problem.machines.some(({ samePick }) => samePick.length > 0)),
    portfolio: count(({ problem }) => problem.machines.length > 1),
    energy: count(({ problem }) => problem.weights.energy.price > 0),
    capped: count(({ problem }) => Object.keys(problem.caps).length > 0),
    outside: count(({ problem }) => problem.machines.some(({ axes }) => axes.some(({ inCycle }) => !inCycle))),
    doubleDrives: count(({ catalogue }) => catalogue.drives.some(({ channels }) => channels > 1)),
    feedingBack: count(({ catalogue }) => catalogue.supplies.some(({ feedsBack }) => feedsBack)),
    inductors: count(({ catalogue }) => catalogue.inductors.length > 0),
    heating: count(({ catalogue }) => catalogue.motors.some(({ windingTime = 99 }) => windingTime < 1)),
    detent: anyAxis(({ detent }) => detent !== undefined),
    backlash: anyAxis(({ backlash }) => backlash !== undefined),
    resolution: anyAxis(({ resolution }) => resolution !== undefined),
  };
}

test("the picks are the cheapest of all combinations, by an oracle that steps through time", {
  timeout: 600_000,
}, async () => {
  const counts = { same: 0, near: 0, "energy-tie": 0, wrong: 0 };
  const [wrong, differences, used]: [string[], string[], RandomMachine[]] = [[], [], []];
  let [feasible, combinations] = [0, 0];
  for (const seed of SEEDS) {
    const machine = randomMachine(seed);
    const tried = bruteForce(machine.problem, machine.catalogue);
    const decision = await decided(machine);
    const fine = orderOracle(machine.problem, machine.catalogue, 2000);
    const outcome = outcomeOf(machine.problem.title, decision, tried, fine);
    counts[outcome.kind] += 1;
    if (outcome.kind === "wrong") wrong.push(outcome.why);
    if (outcome.kind === "same" && outcome.feasible) {
      feasible += 1;
      used.push(machine);
    }
    combinations += tried.combinations;
    differences.push(...limitDifferences(machine, decision, fine));
  }
  const coverage = covered(used);
  console.log(
    `${SEEDS.length} machines, ${combinations} combinations: ${counts.same} alike (${feasible} with an answer), ` +
      `${counts.near} decided by a limit within ${100 * NEAR} % of 1, ${counts["energy-tie"]} by energy within the stepping error, ` +
      `${counts.wrong} wrong`,
    coverage,
  );
  expect(wrong).toEqual([]);
  expect(differences).toEqual([]);
  expect(feasible).toBeGreaterThanOrEqual(140);
  expect(counts.near + counts["energy-tie"]).toBeLessThanOrEqual(0.03 * SEEDS.length);
  expect(Object.entries(coverage).filter(([, machines]) => machines < 5)).toEqual([]);
});
