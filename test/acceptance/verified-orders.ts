import { LAW_NAMES, type Problem } from "../../src/machine/problem.ts";
import { withLinks } from "../oracle/random-linked.ts";
import { type RandomMachine, randomMachine } from "../oracle/random-machine.ts";
import { withModes } from "../oracle/random-modes.ts";
import { resultOf, verificationOf } from "../oracle/random-result.ts";
import { wrongIn } from "../verify/solved.ts";

/** What is wrong, and the names of mechanisms and laws seen on the way. */
export interface Seen {
  readonly wrong: string[];
  readonly names: Set<string>;
  axes: number;
  bounds: number;
}

/** Every second machine has winders, cranks and measured shafts, every third runs in other modes too. */
function drawn(seed: number): RandomMachine {
  const plain = randomMachine(seed);
  const linked = seed % 2 === 0 ? withLinks(plain, seed) : plain;
  return seed % 3 === 0 ? withModes(linked, seed) : linked;
}

/** Of a result that was never written. */
const NO_PROOF = {
  status: "not-given",
  claim: "optimal",
  branches: 0,
  enumerated: 0,
  bound: null,
  unit: "EUR",
  failed: [],
} as const;

function note({ names }: Seen, { machines }: Problem): void {
  const modes = machines.flatMap((machine) => machine.modes);
  if (modes.length > 0) names.add("modes");
  if (modes.some(({ axes }) => [...axes.values()].some(({ mechanism }) => mechanism !== undefined)))
    names.add("measured in a mode");
  for (const { mechanism, motion } of machines.flatMap(({ axes }) => axes)) {
    names.add(mechanism.kind);
    for (const segment of motion) names.add(segment.kind === "move" ? segment.law : segment.kind);
  }
}

/** Every kind of mechanism, segment, mode and law that the orders are to have among them. */
export function namesToSee(): string[] {
  const kinds = ["ball-screw", "lead-screw", "belt", "rack", "rollers", "rotary", "winder", "crank", "measured"];
  return [...kinds, "run", "dwell", "follow", "modes", "measured in a mode", ...LAW_NAMES];
}

/** Simulates the results of random orders, from the first seed on, until so many axes are through. */
export async function verifiedOrders(axes: number): Promise<Seen> {
  const seen: Seen = { wrong: [], names: new Set(), axes: 0, bounds: 0 };
  for (let seed = 1; seen.axes < axes; seed++) {
    const random = drawn(seed);
    const stated = await resultOf(random);
    if (stated === undefined) continue;
    const verification = verificationOf(random, stated);
    const whole = { ...verification, format: "fewframe-verification/1", fewframe: "0", changed: [] } as const;
    const inputs = { result: stated.inputs.problem, problem: stated.inputs.problem };
    seen.wrong.push(
      ...wrongIn({ ...whole, inputs, proof: NO_PROOF }).map((words) => `${random.problem.title}: ${words}`),
    );
    seen.axes += verification.machines.reduce((sum, { axes: own }) => sum + own.length, 0);
    seen.bounds += verification.machines.reduce((sum, { buses }) => sum + buses.flatMap((b) => b.bounds).length, 0);
    note(seen, random.problem);
  }
  return seen;
}
