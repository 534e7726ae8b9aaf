import { type DecideOptions, type Decision, decide } from "../../src/decide/decide.ts";
import { isSetup, type Setup, setupOf } from "../../src/decide/setup.ts";
import type { MachinePick } from "../../src/verify/answer.ts";
import type { RandomMachine } from "./random-machine.ts";

/** A random order made ready and solved; a motion that cannot be ends the test. */
export async function decided(
  { problem, catalogue }: RandomMachine,
  how: Partial<Pick<DecideOptions, "engine" | "secondsLeft" | "finderOf">> = {},
): Promise<Decision & { readonly setup: Setup }> {
  const setup = setupOf(problem, catalogue);
  if (!isSetup(setup)) throw new Error(`${problem.title}: ${JSON.stringify(setup)}`);
  const decision = await decide(setup, {
    engine: "simplex",
    secondsLeft: () => 60,
    aborted: () => false,
    progress: () => undefined,
    ties: true,
    ...how,
  });
  return { ...decision, setup };
}

/** The program's answer in the simulation's words; null: none. */
export function pickedBy({ answer }: Pick<Decision, "answer">): MachinePick[] | null {
  if (answer === undefined) return null;
  return answer.machines.map(({ axes, buses }) => ({
    axes: axes.map(({ motor, gearbox, drive, inductor }) => ({
      motor,
      gearbox: gearbox ?? null,
      drive,
      inductor: inductor ?? null,
    })),
    buses: buses.map(({ supply, resistor }) => ({ supply: supply ?? null, resistor: resistor ?? null })),
  }));
}
