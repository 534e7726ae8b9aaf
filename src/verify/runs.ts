import type { Axis, Machine, Mode, Problem } from "../machine/problem.ts";
import type { BusVerdict } from "./bus-limits.ts";
import type { OrderOracle } from "./evaluate-machine.ts";
import type { Check, PickVerdict } from "./evaluate-pick.ts";

/** Largest number of modes of a machine. */
export function mostModes({ machines }: Problem): number {
  return machines.reduce((most, { modes }) => Math.max(most, modes.length), 0);
}

/** The problem with every machine in its k-th mode; one that has fewer runs its normal cycle. */
export function inMode(problem: Problem, k: number): Problem {
  return { ...problem, machines: problem.machines.map((machine) => machineIn(machine, machine.modes[k])) };
}

function machineIn(machine: Machine, mode: Mode | undefined): Machine {
  if (mode === undefined) return machine;
  return { ...machine, cycle: mode.cycle, axes: machine.axes.map((axis) => axisIn(axis, mode)) };
}

/** What the mode says of an axis; not named, it stands still. */
function axisIn(axis: Axis, { cycle, axes }: Mode): Axis {
  const own = axes.get(axis.id);
  const { mechanism } = axis;
  if (own !== undefined) {
    const { motion, load } = own;
    return { ...axis, start: 0, motion, load: load ?? axis.load, mechanism: own.mechanism ?? mechanism };
  }
  const still = { kind: "dwell", time: cycle, force: 0, payload: 0 } as const;
  const held =
    mechanism.kind === "measured"
      ? { ...mechanism, torque: { times: [0], values: [mechanism.torque.values.at(-1) ?? 0] } }
      : mechanism;
  return { ...axis, start: 0, inCycle: true, mechanism: held, motion: [still] };
}

/** One run of a machine: its normal cycle, or one of its modes. */
export interface OracleRun {
  /** Absent: the normal cycle. */
  readonly mode?: string;
  readonly oracle: OrderOracle;
}

type Judging = Pick<OrderOracle, "runs" | "judge" | "simulate" | "busLimits" | "input" | "meanPower">;

/** Judges in every run of a machine, the normal cycle first: each limit where it is nearest to failing, power by share of time. */
export function overRuns({ machines }: Problem, runs: readonly OrderOracle[]): Judging {
  const ofMachine = (m: number): readonly OrderOracle[] => runs.slice(0, 1 + (machines[m]?.modes.length ?? 0));
  const shares = machines.map(({ modes }) => [
    modes.reduce((rest, { share }) => rest - share, 1),
    ...modes.map(({ share }) => share),
  ]);
  const weighted = (m: number, value: (run: OrderOracle) => number): number =>
    ofMachine(m).reduce((sum, run, k) => sum + (shares[m]?.[k] ?? 0) * value(run), 0);
  return {
    runs: (m) =>
      ofMachine(m).map((oracle, k) => {
        const mode = machines[m]?.modes[k - 1]?.id;
        return mode === undefined ? { oracle } : { mode, oracle };
      }),
    judge: (m, ...rest) => worstVerdict(ofMachine(m).map((run) => run.judge(m, ...rest))),
    simulate: (m, ...rest) => worstVerdict(ofMachine(m).map((run) => run.simulate(m, ...rest))),
    busLimits: (m, ...rest) => worstBus(ofMachine(m).map((run) => run.busLimits(m, ...rest))),
    input: (m, ...rest) => weighted(m, (run) => run.input(m, ...rest)),
    meanPower: (m, ...rest) => weighted(m, (run) => run.meanPower(m, ...rest)),
  };
}

/** Each limit where it is nearest to failing. */
export function worstChecks(lists: readonly (readonly Check[])[]): Check[] {
  const worst = new Map<string, Check>();
  for (const check of lists.flat()) {
    const before = worst.get(check.id);
    if (before === undefined || useOf(check) > useOf(before)) worst.set(check.id, check);
  }
  return [...worst.values()];
}

function useOf({ utilisation }: Check): number {
  return utilisation ?? Infinity;
}

function worstVerdict(verdicts: readonly PickVerdict[]): PickVerdict {
  return {
    passes: verdicts.every(({ passes }) => passes),
    unfit: verdicts.find(({ unfit }) => unfit !== null)?.unfit ?? null,
    limits: worstChecks(verdicts.map(({ limits }) => limits)),
    unchecked: [...new Map(verdicts.flatMap(({ unchecked }) => unchecked).map((one) => [one.id, one])).values()],
    worst: Math.max(...verdicts.map(({ worst }) => worst)),
  };
}

function worstBus(verdicts: readonly BusVerdict[]): BusVerdict {
  return {
    checks: worstChecks(verdicts.map(({ checks }) => checks)),
    clash: verdicts.some(({ clash }) => clash),
  };
}
