import { describe, expect, test } from "vitest";
import { candidateOf, eachCandidate } from "../../src/candidates/each-candidate.ts";
import { type Decision, decide } from "../../src/decide/decide.ts";
import type { JudgedAxis } from "../../src/decide/judged-axis.ts";
import { STRICT } from "../../src/decide/leniency.ts";
import { judgedAxes } from "../../src/decide/narrow.ts";
import { rivalsOf } from "../../src/decide/rivals.ts";
import { isSetup, type Setup, setupOf } from "../../src/decide/setup.ts";
import { sourcedAxes } from "../../src/decide/sourced.ts";
import { sourcesOf } from "../../src/decide/sourcing.ts";
import { dualSourceBinding } from "../../src/explain/cap-binding.ts";
import { explainInfeasible } from "../../src/explain/explain.ts";
import type { Catalogue, Motor } from "../../src/machine/catalogue.ts";
import type { Axis, Problem } from "../../src/machine/problem.ts";
import { pickKey } from "../../src/verify/answer.ts";
import { orderOracle } from "../../src/verify/evaluate-machine.ts";
import type { AxisPick } from "../../src/verify/evaluate-pick.ts";
import { hasOther } from "../oracle/dual-source.ts";
import {
  PLAIN_SHAFT,
  plainAxis,
  plainDrive,
  plainGearbox,
  plainLoad,
  plainMotor,
  plainProblem,
  plainSupply,
} from "../oracle/plain-parts.ts";
import { randomDual } from "../oracle/random-dual.ts";

const OPTIONS = {
  engine: "simplex",
  secondsLeft: () => 60,
  aborted: () => false,
  progress: () => undefined,
  ties: true,
} as const;

/** A shaft that turns on and on against a torque: what its motor gives is just that torque [N·m] at that speed [rad/s]. */
function turning(id: string, torque: number, speed: number, own: Partial<Axis> = {}): Axis {
  const run = { kind: "run", speed, time: 1, accelerateTime: 0, force: 0, payload: 0 } as const;
  const load = plainLoad({ frictionForce: torque });
  return plainAxis({ kind: "rotary", ...PLAIN_SHAFT }, load, [run], {}, { id, endless: true, ...own });
}

/** A motor that bears a torque for ever, up to a speed; price in cents. */
function motor(
  maker: string,
  part: string,
  own: { torque: number; price: number; frame?: string; speed?: number } & Partial<Motor>,
): Motor {
  const { torque, price, frame = "F", speed = 1000, ...rest } = own;
  const torques = { stallTorque: torque, ratedTorque: torque, peakTorque: 3 * torque };
  // Little resistance and inductance: only torque and speed decide.
  const winding = { resistance: 1e-3, voltageConstant: 0.1, torqueConstant: 0.1 * Math.sqrt(3), inductance: 2e-3 };
  const named = { maker, part, prices: [{ from: 1, price }], frame };
  return plainMotor({ ...named, ...torques, ...winding, maxSpeed: speed, ...rest });
}

function catalogue(parts: Partial<Catalogue>): Catalogue {
  const drives = [plainDrive({ continuousCurrent: 1000, peakCurrent: 3000 })];
  return { motors: [], gearboxes: [], drives, supplies: [], resistors: [], inductors: [], ...parts };
}

async function solved(problem: Problem, parts: Catalogue): Promise<Decision & { readonly setup: Setup }> {
  const setup = setupOf(problem, parts);
  if (!isSetup(setup)) throw new Error(JSON.stringify(setup));
  return { ...(await decide(setup, OPTIONS)), setup };
}

function motorsOf(decision: Decision): (string | undefined)[] {
  return decision.answer?.machines.flatMap(({ axes }) => axes.map((axis) => axis.motor.part)) ?? [];
}

function substitutesOf({ sourcing, answer, evaluated }: Decision): Record<string, string | undefined> {
  if (answer === undefined || evaluated === undefined) return {};
  const sources = sourcesOf(sourcing, { answer, evaluated }, STRICT);
  return Object.fromEntries(sources.map(({ part, substitute }) => [part.part, substitute?.part]));
}

// Derived by hand: a shaft that turns evenly asks its friction of the motor and nothing else.
describe("orders small enough to see what dual source costs", () => {
  const motors = [
    motor("Amaryl", "A5", { torque: 5, price: 100, frame: "small" }),
    motor("Amaryl", "A10", { torque: 10, price: 200 }),
    motor("Borduin", "B10", { torque: 10, price: 260 }),
  ];
  const bare = plainProblem([turning("a", 8, 10), turning("b", 4, 10)], 1);

  test("a motor that nobody else makes in its frame gives way to a dearer one that both axes share", async () => {
    const plain = await solved(bare, catalogue({ motors }));
    const dual = await solved({ ...bare, dualSource: ["motor"] }, catalogue({ motors }));
    expect([motorsOf(plain), plain.evaluated?.money.terms.purchase]).toEqual([["A10", "A5"], 500]);
    expect([motorsOf(dual), dual.evaluated?.money.terms.purchase]).toEqual([["A10", "A10"], 600]);
    expect(substitutesOf(dual)).toEqual({ A10: "B10" });
    const context = { ...OPTIONS, progress: () => undefined, setup: dual.setup, decision: dual };
    expect(await dualSourceBinding(context)).toEqual({ id: "order.dual_source", price: 100, nextStep: undefined });
  });

  test("a part that an axis does not allow is no substitute there", async () => {
    const allow = { gearless: true, makers: ["Amaryl", "Ostrand"] };
    const axes = [turning("a", 8, 10), turning("b", 4, 10, { allow })];
    const dual = await solved({ ...plainProblem(axes, 1), dualSource: ["motor"] }, catalogue({ motors }));
    expect(dual.status).toBe("infeasible");
  });

  test("where each axis has a substitute and both have none in common, one part cannot serve both", async () => {
    const own = [
      motor("Amaryl", "A", { torque: 10, price: 100, speed: 300 }),
      motor("Borduin", "strong", { torque: 10, price: 130, speed: 150 }),
      motor("Borduin", "quick", { torque: 5, price: 120, speed: 300 }),
    ];
    const problem = plainProblem([turning("a", 8, 100), turning("b", 4, 250)], 1);
    const plain = await solved(problem, catalogue({ motors: own }));
    const dual = await solved({ ...problem, dualSource: ["motor"] }, catalogue({ motors: own }));
    expect(motorsOf(plain)).toEqual(["A", "A"]);
    expect([motorsOf(dual), (dual.evaluated?.money.total ?? 0) - (plain.evaluated?.money.total ?? 0)]).toEqual([
      ["A", "quick"],
      20,
    ]);
    expect(substitutesOf(dual)).toEqual({ A: "strong", quick: "A" });
  });

  test("a gearbox may be replaced by one of another ratio, but not of another frame or round a corner", async () => {
    const gearless = { gearless: false };
    const axes = [turning("a", 8, 10, { allow: gearless })];
    const problem: Problem = { ...plainProblem(axes, 1), dualSource: ["gearbox"] };
    const first = plainGearbox({ maker: "Amaryl", part: "G5", prices: [{ from: 1, price: 10 }] });
    const with0 = (other: Parameters<typeof plainGearbox>[0]): Catalogue =>
      catalogue({
        motors,
        gearboxes: [first, plainGearbox({ maker: "Borduin", part: "H", prices: [{ from: 1, price: 90 }], ...other })],
      });
    expect(substitutesOf(await solved(problem, with0({ ratio: 7 })))).toEqual({ G5: "H" });
    expect((await solved(problem, with0({ frame: "Q" }))).status).toBe("infeasible");
    expect((await solved(problem, with0({ style: "right-angle" }))).status).toBe("infeasible");
    expect((await solved(problem, with0({ maker: "Amaryl" }))).status).toBe("infeasible");
  });

  test("a drive is replaced by one with as many channels, of its supply's family, that stands its chopper", async () => {
    const problem: Problem = { ...bare, dualSource: ["drive"] };
    const supplies = [plainSupply({ busFamily: "one", chopperVoltage: 780 })];
    const own = { continuousCurrent: 1000, peakCurrent: 3000 };
    const first = plainDrive({ ...own, maker: "Amaryl", part: "D", channels: 2, prices: [{ from: 1, price: 10 }] });
    const second = { ...own, maker: "Borduin", part: "E", channels: 2, prices: [{ from: 1, price: 90 }] };
    const found = async (other: Parameters<typeof plainDrive>[0]): Promise<unknown> =>
      substitutesOf(
        await solved(problem, catalogue({ motors, supplies, drives: [first, plainDrive({ ...second, ...other })] })),
      );
    expect(await found({})).toEqual({ D: "E" });
    expect(await found({ busFamily: "one", busMax: 790 })).toEqual({ D: "E" });
    expect(await found({ busFamily: "two" })).toEqual({});
    // Picked itself, because this bus never reaches its chopper's voltage; but it cannot stand in for one that bears that.
    expect(await found({ busMax: 770 })).toEqual({ E: "D" });
    // One channel cannot stand in for two, but two can for one.
    expect(await found({ channels: 1, prices: [{ from: 1, price: 3 }] })).toEqual({ E: "D" });
  });

  test("the bus must stand with another maker's supply: the motors waste less power then", async () => {
    const axes = [turning("a", 4.9, 100)];
    const both = [
      motor("Amaryl", "warm", { torque: 10, price: 100, resistance: 0.2 }),
      motor("Amaryl", "cool", { torque: 10, price: 300 }),
    ];
    const large = plainSupply({ maker: "Amaryl", part: "large", peakPower: 2000, prices: [{ from: 1, price: 50 }] });
    const small = plainSupply({ maker: "Borduin", part: "small", peakPower: 520, prices: [{ from: 1, price: 60 }] });
    const parts = catalogue({ motors: both, supplies: [large, small] });
    const problem = plainProblem(axes, 1);
    const plain = await solved(problem, parts);
    const dual = await solved({ ...problem, dualSource: ["supply"] }, parts);
    expect(motorsOf(plain)).toEqual(["warm"]);
    expect([motorsOf(dual), substitutesOf(dual)]).toEqual([["cool"], { large: "small" }]);
  });

  test("without any second maker the conflict names dual source, and the parts that lack a substitute", async () => {
    const dual = await solved({ ...bare, dualSource: ["motor", "drive"] }, catalogue({ motors: motors.slice(0, 2) }));
    const context = { ...OPTIONS, progress: () => undefined, setup: dual.setup, decision: dual };
    const [obstacle] = await explainInfeasible(context);
    expect(obstacle?.limits).toEqual([{ id: "order.dual_source", demand: 3, allowed: 0 }]);
    expect(obstacle?.note).toContain("not together under dual source");
    expect(obstacle?.note).toContain("no substitute for motor A10, drive D, motor A5");
  });
});

/** Every candidate of an axis by its parts. */
function candidatesOf(
  { looks }: JudgedAxis,
  { motors, gearboxes, drives, inductors }: Catalogue,
): Map<string, AxisPick> {
  const found = new Map<string, AxisPick>();
  for (const { judged } of looks)
    eachCandidate(judged, (pair, drive, inductor, index) => {
      const one = candidateOf(judged, { pair, index, drive, inductor });
      const [own, driven] = [motors[one.motor], drives[one.drive]];
      if (own === undefined || driven === undefined) throw new Error("a candidate without its parts");
      const pick = {
        motor: own,
        gearbox: gearboxes[one.gearbox] ?? null,
        drive: driven,
        inductor: inductors[one.inductor] ?? null,
      };
      found.set(pickKey(pick), pick);
    });
  return found;
}

/** Own oracle: every part of the catalogues in the place of every part of every candidate, by the simulation. */
test("what goes before solving has no substitute on its axis, whatever rides on it", () => {
  let [kept, dropped] = [0, 0];
  for (let seed = 1; seed <= 14; seed++) {
    const { problem, catalogue: parts } = randomDual(seed);
    const setup = setupOf(problem, parts);
    if (!isSetup(setup)) throw new Error(JSON.stringify(setup));
    const oracle = orderOracle(problem, parts, 100);
    const judged = judgedAxes(setup);
    const left = sourcedAxes(setup, judged, rivalsOf(parts));
    for (const [m, axes] of judged.entries()) {
      for (const [a, axis] of axes.entries()) {
        const own = left[m]?.[a];
        if (own === undefined) throw new Error("an axis is lost");
        const still = candidatesOf(own, parts);
        for (const [key, pick] of candidatesOf(axis, parts)) {
          if (still.has(key)) {
            kept += 1;
            continue;
          }
          dropped += 1;
          for (const carried of new Set([axis.range.low, axis.range.high])) {
            const passes = (one: AxisPick): boolean => oracle.judge(m, a, one, carried).passes;
            const has = problem.dualSource.every((kind) => hasOther(kind, { pick, parts, passes }));
            expect(has && passes(pick), `${problem.title} ${key} at ${carried} kg`).toBe(false);
          }
        }
      }
    }
  }
  expect(Math.min(kept, dropped), `${kept} kept, ${dropped} dropped`).toBeGreaterThan(50);
});
