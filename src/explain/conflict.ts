import { type Decision, decide } from "../decide/decide.ts";
import { type Leniency, STRICT } from "../decide/leniency.ts";
import type { Setup } from "../decide/setup.ts";
import type { Limit, LimitId, Unchecked } from "../machine/limit.ts";
import type { Caps } from "../machine/problem.ts";
import type { ExplainContext } from "./context.ts";
import type { Obstacle } from "./explanation.ts";

/** One requirement of the whole order that can be let go, to see whether the rest then has an answer. */
interface Requirement {
  readonly name: string;
  readonly relax: (setup: Setup) => Setup;
  readonly leniency: Leniency;
}

const same = (setup: Setup): Setup => setup;

/**
 * A smallest set of requirements of the order in conflict: with all of them let go there is an answer; each is put back
 * unless that takes the answer away.
 *
 * Source: deletion filter, J. W. Chinneck, Feasibility and Infeasibility in Optimization (2008).
 */
export async function conflictOf(context: ExplainContext): Promise<Obstacle> {
  const nowhere = { machine: -1, axis: -1, unknown: [], nearest: [] };
  if (context.setup.machines.some(({ buses }) => buses.some(({ options }) => options.length === 0))) {
    return {
      ...nowhere,
      limits: [],
      note: "no supply in the catalogues feeds a bus of this problem: its mains, phases or voltage",
    };
  }
  let letGo = requirementsOf(context.setup);
  let free = await decideWithout(context, letGo);
  if (free.evaluated === undefined)
    return {
      ...nowhere,
      limits: [],
      note: "the axes stand in each other's way: what they carry, or parts they must share",
    };
  for (const one of letGo) {
    const without = letGo.filter((other) => other !== one);
    const decision = await decideWithout(context, without);
    if (decision.evaluated !== undefined) [letGo, free] = [without, decision];
  }
  const limits = brokenLimits(context, free).map(({ id, demand, allowed }) => ({ id, demand, allowed }));
  return {
    ...nowhere,
    limits,
    unknown: unknownLeadTime(context.setup, free),
    note: `the axes have candidates, but not together under ${letGo.map(({ name }) => name).join(" and ")}`,
  };
}

function requirementsOf(setup: Setup): Requirement[] {
  const caps = CAP_KEYS.filter((key) => setup.problem.caps[key] !== undefined).map((key) => ({
    name: `the cap on ${capWords(key)}`,
    relax: (before: Setup) => withoutCap(before, key),
    leniency: STRICT,
  }));
  const buses = setup.machines.flatMap(({ machine, buses: own }, m) =>
    own.map(({ bus }, b) => ({
      name: `the supplies of bus ${bus.id} of ${machine.id}`,
      relax: same,
      leniency: { ...STRICT, bus: (at: number, on: number) => at === m && on === b },
    })),
  );
  return [...caps, ...buses];
}

const CAP_KEYS: readonly (keyof Caps)[] = [
  "motors",
  "frames",
  "gearboxes",
  "drives",
  "makers",
  "parts",
  "price",
  "mass",
  "cabinetWidth",
  "leadTime",
];

function withoutCap(setup: Setup, key: keyof Caps): Setup {
  const { [key]: _, ...caps } = setup.problem.caps;
  return { ...setup, problem: { ...setup.problem, caps } };
}

function decideWithout(
  { setup, decision, engine, secondsLeft, aborted }: ExplainContext,
  letGo: readonly Requirement[],
): Promise<Decision> {
  const relaxed = letGo.reduce((before, { relax }) => relax(before), setup);
  const leniency: Leniency = {
    ...STRICT,
    bus: (m, b, limit: LimitId) => letGo.some((one) => one.leniency.bus(m, b, limit)),
  };
  return decide(
    relaxed,
    { engine, secondsLeft, aborted, progress: () => undefined, ties: false, leniency },
    decision.judged,
  );
}

/** What the answer breaks of the buses and of the caps as the problem has them. */
function brokenLimits({ setup }: ExplainContext, { evaluated }: Decision): Limit[] {
  const buses = (evaluated?.machines ?? []).flatMap(({ buses: own }) =>
    own.flatMap(({ judgement }) => judgement.limits.filter(({ id }) => judgement.failed.includes(id))),
  );
  return [...buses, ...brokenCaps(setup, evaluated)];
}

/** A cap on lead time is a question to every part; one that does not say fails it. */
function unknownLeadTime({ problem: { caps } }: Setup, { evaluated }: Decision): Unchecked[] {
  const isSilent = evaluated?.money.lines.some(({ part }) => part.leadTime === undefined) ?? false;
  return caps.leadTime !== undefined && isSilent ? [{ id: "machine.lead_time", missing: "lead_time" }] : [];
}

/** `cabinetWidth` as a reader writes it: cabinet width. */
function capWords(key: keyof Caps): string {
  return key.replaceAll(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`);
}

function brokenCaps({ problem: { caps } }: Setup, evaluated: Decision["evaluated"]): Limit[] {
  if (evaluated === undefined) return [];
  const { distinct, totals, lines } = evaluated.money;
  const most = (value: (total: (typeof totals)[number]) => number): number => Math.max(0, ...totals.map(value));
  const demands: readonly { id: LimitId; demand: number; allowed: number | undefined; unit: Limit["unit"] }[] = [
    { id: "caps.motors", demand: distinct.motors, allowed: caps.motors, unit: "count" },
    { id: "caps.frames", demand: distinct.frames, allowed: caps.frames, unit: "count" },
    { id: "caps.gearboxes", demand: distinct.gearboxes, allowed: caps.gearboxes, unit: "count" },
    { id: "caps.drives", demand: distinct.drives, allowed: caps.drives, unit: "count" },
    { id: "caps.makers", demand: distinct.makers, allowed: caps.makers, unit: "count" },
    { id: "caps.parts", demand: distinct.parts, allowed: caps.parts, unit: "count" },
    { id: "machine.price", demand: most(({ price }) => price), allowed: caps.price, unit: "cent" },
    { id: "machine.mass", demand: most(({ mass }) => mass), allowed: caps.mass, unit: "kg" },
    {
      id: "machine.cabinet_width",
      demand: most(({ cabinetWidth }) => cabinetWidth),
      allowed: caps.cabinetWidth,
      unit: "m",
    },
    {
      id: "machine.lead_time",
      demand: Math.max(0, ...lines.map(({ part }) => part.leadTime ?? 0)),
      allowed: caps.leadTime,
      unit: "day",
    },
  ];
  return demands.flatMap(({ id, demand, allowed, unit }) =>
    allowed !== undefined && demand > allowed
      ? [{ id, demand, allowed, unit, utilisation: allowed > 0 ? demand / allowed : null }]
      : [],
  );
}
