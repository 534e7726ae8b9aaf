import { expect } from "vitest";
import { type Decision, decide } from "../../src/decide/decide.ts";
import { isSetup, type Setup, setupOf } from "../../src/decide/setup.ts";
import type { ExplainContext } from "../../src/explain/context.ts";
import type { BindingFound, BusFound, CapFound, Explanation } from "../../src/explain/explanation.ts";
import { readProblem } from "../../src/input/read-problem.ts";
import type { Catalogue } from "../../src/machine/catalogue.ts";
import { LIMIT_IDS, type LimitId } from "../../src/machine/limit.ts";
import type { Problem } from "../../src/machine/problem.ts";

const OPTIONS = {
  engine: "simplex",
  secondsLeft: () => 600,
  aborted: () => false,
  progress: () => undefined,
  ties: false,
} as const;

/** A shipped problem with its answer. */
export interface Shipped {
  readonly problem: Problem;
  readonly catalogue: Catalogue;
  readonly setup: Setup;
  readonly decision: Decision;
  readonly total: number;
  readonly context: ExplainContext;
}

export async function shipped(path: string): Promise<Shipped> {
  const input = await readProblem(path);
  if (!input.ok) throw new Error(`${path} does not read`);
  return shippedLike(input.value.problem, input.value.catalogue);
}

/** Any problem with its answer. */
export async function shippedLike(problem: Problem, catalogue: Catalogue): Promise<Shipped> {
  const setup = setupFor(problem, catalogue);
  const decision = await decide(setup, OPTIONS);
  const { engine, secondsLeft, aborted } = OPTIONS;
  const context = { setup, decision, engine, secondsLeft, aborted, progress: () => undefined };
  const total = decision.evaluated?.money.total ?? Number.NaN;
  return { problem, catalogue, setup, decision, total, context };
}

function setupFor(problem: Problem, catalogue: Catalogue): Setup {
  const setup = setupOf(problem, catalogue);
  if (!isSetup(setup)) throw new Error("a motion of the problem cannot be");
  return setup;
}

/** Total of an edited problem, solved afresh: nothing of the first answer is used. NaN: no answer. */
export async function totalOf(problem: Problem, catalogue: Catalogue): Promise<number> {
  const { evaluated, status } = await decide(setupFor(problem, catalogue), OPTIONS);
  expect(["optimal", "infeasible"]).toContain(status);
  return evaluated?.money.total ?? Number.NaN;
}

type Relax = Readonly<Partial<Record<LimitId, number | null>>>;

/** An axis of a machine, by index. */
export interface AxisAt {
  readonly machine: number;
  readonly axis: number;
}

/** The problem with limits of one axis relaxed by a share, or lifted (null). */
export function relaxed(problem: Problem, at: AxisAt, relax: Relax): Problem {
  const machines = problem.machines.map((machine, m) => ({
    ...machine,
    axes: machine.axes.map((own, a) =>
      m === at.machine && a === at.axis ? { ...own, needs: { ...own.needs, relax } } : own,
    ),
  }));
  return { ...problem, machines };
}

function relaxEach(ids: readonly LimitId[], by: number | null): Relax {
  return Object.fromEntries(ids.map((id) => [id, by]));
}

/** Of the edited problem, a hair either side of a step. */
const HAIR = 1e-5;

/**
 * Confirms what is said of an axis: lifting its limits saves the price, no set of fewer limits saves anything where it is
 * said to be the cheapest, easing them by the step reaches the step's total, and easing them by a hair less changes nothing.
 */
export async function confirmAxis(of: Shipped, at: AxisAt, binding: BindingFound): Promise<void> {
  const { problem, catalogue, total } = of;
  const axisId = `${problem.title} ${problem.machines[at.machine]?.axes[at.axis]?.id}`;
  const eased = (relax: Relax): Promise<number> => totalOf(relaxed(problem, at, relax), catalogue);
  if (binding.kind === "cheapest") {
    expect(await eased(relaxEach(LIMIT_IDS, null)), `${axisId} without any limit`).toBe(total);
    return;
  }
  if (binding.kind !== "held") throw new Error(`${axisId} was not searched`);
  const { limits, price, nextStep } = binding;
  expect(binding.isProved, `${axisId} is proved`).toBe(true);
  expect(await eased(relaxEach(limits, null)), `${axisId} without ${limits.join(", ")}`).toBe(total - price);
  if (nextStep === undefined) return;
  const { share } = nextStep;
  expect(nextStep.isLeast, `least step of ${axisId}`).toBe(true);
  expect(await eased(relaxEach(limits, share * (1 + HAIR))), `${axisId} at its step`).toBe(nextStep.total);
  expect(await eased(relaxEach(limits, share * (1 - HAIR))), `${axisId} a hair before its step`).toBe(total);
}

/** A catalogue in which a limit of supplies and resistors cannot bind. */
const WITHOUT: Readonly<Partial<Record<LimitId, (catalogue: Catalogue) => Catalogue>>> = {
  "supply.peak_power": (c) => ({ ...c, supplies: c.supplies.map((s) => ({ ...s, peakPower: 1e12 })) }),
  "supply.continuous_power": (c) => ({ ...c, supplies: c.supplies.map((s) => ({ ...s, continuousPower: 1e12 })) }),
  "supply.capacitance": (c) => ({ ...c, supplies: c.supplies.map((s) => ({ ...s, maxCapacitance: 1e12 })) }),
};

/** Confirms what is said of a bus: prices by lifting limits in the catalogue, "cheapest" by lifting all that can be. */
export async function confirmBus({ problem, catalogue, total }: Shipped, binding: BusFound): Promise<void> {
  if (binding.kind === "cheapest") {
    const free = Object.values(WITHOUT).reduce((found, lift) => lift(found), catalogue);
    expect(await totalOf(problem, free), "no limit of supplies").toBe(total);
    return;
  }
  if (binding.kind !== "held") throw new Error("the bus was not searched");
  const free = binding.limits.reduce((found, id) => {
    const lift = WITHOUT[id];
    if (lift === undefined) throw new Error(`no edit lifts ${id}`);
    return lift(found);
  }, catalogue);
  expect(await totalOf(problem, free), `supplies without ${binding.limits.join(", ")}`).toBe(total - binding.price);
}

/** Key of a cap in the problem, and whether it counts whole things. */
const CAPS: Readonly<Partial<Record<LimitId, readonly [key: keyof Problem["caps"], isWhole: boolean]>>> = {
  "caps.motors": ["motors", true],
  "caps.frames": ["frames", true],
  "caps.gearboxes": ["gearboxes", true],
  "caps.drives": ["drives", true],
  "caps.makers": ["makers", true],
  "caps.parts": ["parts", true],
  "machine.price": ["price", true],
  "machine.mass": ["mass", false],
  "machine.cabinet_width": ["cabinetWidth", false],
  "machine.lead_time": ["leadTime", true],
};

/** Confirms what is said of a cap: dropping it saves the price, easing it to the step reaches its total, and less does not. */
export async function confirmCap(
  { problem, catalogue, total }: Shipped,
  { id, price, nextStep }: CapFound,
): Promise<void> {
  if (id === "order.dual_source") {
    expect(await totalOf({ ...problem, dualSource: [] }, catalogue), "without dual source").toBe(total - price);
    return;
  }
  const [key, isWhole] = CAPS[id] ?? [];
  if (key === undefined) throw new Error(`no edit lifts ${id}`);
  const { [key]: allowed = Number.NaN, ...others } = problem.caps;
  expect(await totalOf({ ...problem, caps: others }, catalogue), `without ${id}`).toBe(total - price);
  if (nextStep === undefined) return;
  const demand = nextStep.relief[0]?.demand ?? Number.NaN;
  const at = (max: number): Promise<number> => totalOf({ ...problem, caps: { ...others, [key]: max } }, catalogue);
  expect(await at(demand), `${id} at its step`).toBe(nextStep.total);
  const before = isWhole === true ? demand - 1 : demand * (1 - 1e-5);
  if (before > allowed) expect(await at(before), `${id} before its step`).toBe(total);
}

/** Confirms everything that is said of an answer. */
export async function confirmAll(of: Shipped, { axes, buses, caps }: Explanation): Promise<void> {
  for (const [m, machine] of of.problem.machines.entries()) {
    for (const [a, { id }] of machine.axes.entries()) {
      const binding = axes[m]?.[a];
      if (binding === undefined) throw new Error(`${id} was not explained`);
      await confirmAxis(of, { machine: m, axis: a }, binding);
    }
    for (const binding of buses[m] ?? []) await confirmBus(of, binding);
  }
  for (const cap of caps) await confirmCap(of, cap);
}
