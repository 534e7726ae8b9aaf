import type { Standing } from "../decide/court.ts";
import type { Finder } from "../decide/finder.ts";
import { type NamedAnswer, namedAnswer } from "../decide/named-answer.ts";
import type { Findings, Step } from "./findings.ts";

/** Notes what a finder finds. */
export interface Recorder {
  /** The same finder, listened to. */
  readonly around: (finder: Finder) => Finder;
  /** What was noted so far. */
  readonly findings: () => Findings;
}

/** A recorder for one run of deciding. */
export function recorder(): Recorder {
  const steps: Step[] = [];
  let asked = 0;
  let stopped: number | null = null;
  const isStopped = (finder: Finder): boolean => {
    const isNow = finder.isStopped();
    if (isNow) stopped ??= asked;
    asked += 1;
    return isNow;
  };
  return {
    around: (finder) => ({ ...noting(finder, (step) => void steps.push(step)), isStopped: () => isStopped(finder) }),
    findings: () => ({ stopped, steps: [...steps] }),
  };
}

function noting(finder: Finder, note: (step: Step) => void): Omit<Finder, "isStopped"> {
  const noted = (found: Standing | undefined): Standing | undefined => {
    note({ kind: "answer", ...named(found) });
    return found;
  };
  return {
    // A proof begins from nothing.
    guess: async () => undefined,
    raise: (model, from, known) => {
      const raised = finder.raise(model, from, known);
      note({ kind: "pricing", multipliers: raised.multipliers });
      return raised;
    },
    best: (round, suggestions) => {
      const { found, strained } = finder.best(round, suggestions);
      note({ kind: "answer", ...named(found), strained });
      return { found, strained };
    },
    roughAnswer: async (selection, upTo) => noted(await finder.roughAnswer(selection, upTo)),
    firstAnswer: async (selection) => noted(await finder.firstAnswer(selection)),
    narrow: (round, known, from) => {
      const narrowing = finder.narrow(round, known, from);
      const { found, survivors, proof } = narrowing;
      note({ kind: "narrowing", proof: proof(), kept: survivors, ...named(found) });
      return narrowing;
    },
    solve: async (round, cutoff, from) => {
      const columns = round.built.model.groups.map((group) => group.columns.length);
      const solved = await finder.solve(round, cutoff, from);
      note({ kind: "search", columns, ...solved.certificate });
      return solved;
    },
  };
}

function named(found: Standing | undefined): { readonly found?: NamedAnswer } {
  return found === undefined ? {} : { found: namedAnswer(found) };
}
