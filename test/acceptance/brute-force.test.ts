import { expect, test } from "vitest";
import type { Decision } from "../../src/decide/decide.ts";
import type { Needs } from "../../src/machine/problem.ts";
import { type OrderOracle, orderOracle } from "../../src/verify/evaluate-machine.ts";
import { agreementOf, NEAR } from "../oracle/agreement.ts";
import { bruteForce } from "../oracle/brute-force.ts";
import { decided, pickedBy } from "../oracle/decided.ts";
import { type RandomMachine, randomMachine } from "../oracle/random-machine.ts";

/** Seeds of the machines that are tried; most of them have an answer. */
const SEEDS = Array.from({ length: 240 }, (_, k) => 2000 + k);

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
    const outcome = agreementOf(machine.problem.title, decision, tried.best, fine);
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
