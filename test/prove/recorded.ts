import { type Decision, decide } from "../../src/decide/decide.ts";
import { searching } from "../../src/decide/searching.ts";
import { isSetup, setupOf } from "../../src/decide/setup.ts";
import type { Findings } from "../../src/prove/findings.ts";
import type { Claim } from "../../src/prove/prove-order.ts";
import { recorder } from "../../src/prove/recorder.ts";
import { certificateText, findingsFrom } from "../../src/result/certificate-text.ts";
import type { RandomMachine } from "../oracle/random-machine.ts";

/** What was decided of an order, what it claims, and what was found on the way, as read back from its text. */
export interface Recorded {
  readonly decision: Decision;
  readonly claim: Claim;
  readonly findings: Findings;
}

/** Decides a random order and records it; a motion that cannot be ends the test. */
export async function recorded(
  { problem, catalogue }: RandomMachine,
  secondsLeft: () => number = () => 600,
): Promise<Recorded> {
  const setup = setupOf(problem, catalogue);
  if (!isSetup(setup)) throw new Error(`${problem.title}: ${JSON.stringify(setup)}`);
  const notes = recorder();
  const options = { engine: "simplex", secondsLeft, aborted: () => false, ties: true } as const;
  const decision = await decide(setup, {
    ...options,
    progress: () => undefined,
    finderOf: (court) => notes.around(searching(court, options)),
  });
  const total = decision.evaluated?.money.total;
  const claim = {
    status: decision.status,
    ...(total === undefined ? {} : { total }),
    ...(Number.isFinite(decision.bound) ? { bound: decision.bound } : {}),
  };
  return { decision, claim, findings: findingsFrom(certificateText(notes.findings())) };
}
