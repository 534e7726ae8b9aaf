import { expect, test } from "vitest";
import { type NamedAnswer, namedAnswer } from "../../src/decide/named-answer.ts";
import type { Findings, Searching, Step } from "../../src/prove/findings.ts";
import { type Claim, proveOrder } from "../../src/prove/prove-order.ts";
import type { Multipliers } from "../../src/solve/multipliers.ts";
import { type RandomMachine, randomMachine } from "../oracle/random-machine.ts";
import { withModes } from "../oracle/random-modes.ts";
import { type Recorded, recorded } from "./recorded.ts";

/** Every third machine runs in other modes, too. */
function drawn(seed: number): RandomMachine {
  return seed % 3 === 0 ? withModes(randomMachine(seed), seed) : randomMachine(seed);
}

const NOTHING_WRONG = { flaws: [], contradictions: [] };

test("random orders are proved again from what was found, to the same bound", async () => {
  const seen = new Map<string, number>();
  const kinds = new Set<string>();
  for (let seed = 1; seed <= 40; seed += 1) {
    const random = drawn(seed);
    const { claim, findings } = await recorded(random);
    expect(await proveOrder(random, claim, findings)).toMatchObject(NOTHING_WRONG);
    seen.set(claim.status, (seen.get(claim.status) ?? 0) + 1);
    for (const { kind } of findings.steps) kinds.add(kind);
  }
  expect(seen.get("optimal")).toBeGreaterThan(15);
  expect(seen.get("infeasible")).toBeGreaterThan(2);
  expect(kinds.size).toBe(4);
});

test("what a stopped search states is proved as far as it came", async () => {
  const seen = new Set<string>();
  for (let seed = 1; seed <= 40; seed += 1) {
    const random = drawn(seed);
    // Time runs out after so many looks at the clock.
    let looks = seed % 7 === 0 ? 0 : 5 * seed;
    const { claim, findings } = await recorded(random, () => (looks-- > 0 ? 600 : 0));
    expect(await proveOrder(random, claim, findings)).toMatchObject(NOTHING_WRONG);
    seen.add(`${claim.status} ${findings.stopped === null ? "" : "stopped"}`);
  }
  expect([...seen]).toEqual(expect.arrayContaining(["feasible stopped", "unknown stopped"]));
});

/** An order with something in every step, what it claims, and what was found. */
async function example(
  random: RandomMachine,
): Promise<Recorded & { readonly places: (lie: Lie) => Promise<string[]> }> {
  const own = await recorded(random);
  const places = async ({ claim = {}, findings = {} }: Lie): Promise<string[]> => {
    const proof = await proveOrder(random, { ...own.claim, ...claim }, { ...own.findings, ...findings });
    return [...proof.contradictions, ...proof.flaws].map(({ at }) => at);
  };
  return { ...own, places };
}

interface Lie {
  readonly claim?: Partial<Claim>;
  readonly findings?: Partial<Findings>;
}

const SEED = 27;

/** Findings with one step changed. */
function withStep(findings: Findings, index: number, change: (step: Step) => Step): Lie {
  return { findings: { steps: findings.steps.map((step, k) => (k === index ? change(step) : step)) } };
}

function times(by: number, of: Readonly<Record<string, number>>): Record<string, number> {
  return Object.fromEntries(Object.entries(of).map(([name, value]) => [name, by * value]));
}

function scaled(by: number, { links, caps, rows }: Multipliers): Multipliers {
  const linked = Object.entries(links).map(([group, own]) => [group, times(by, own)] as const);
  return { links: Object.fromEntries(linked), caps: times(by, caps), rows: times(by, rows) };
}

/** With motors that nobody makes. */
function renamed({ machines, ...found }: NamedAnswer): NamedAnswer {
  return {
    ...found,
    machines: machines.map(({ axes, buses }) => ({ axes: axes.map((axis) => ({ ...axis, motor: ["", ""] })), buses })),
  };
}

test("lies are found, each with its place", async () => {
  const { claim, findings, places } = await example(drawn(SEED));
  const { steps } = findings;
  const first = (kind: Step["kind"]): number => steps.findIndex((step) => step.kind === kind);
  const [pricing, narrowing, search] = [first("pricing"), first("narrowing"), first("search")];
  const answer = steps.findIndex((step) => step.kind === "answer" && step.found !== undefined);
  expect([pricing, narrowing, search, answer].every((index) => index >= 0)).toBe(true);
  expect(claim.status).toBe("optimal");
  const total = claim.total ?? Number.NaN;
  expect(await places({})).toEqual([]);

  // The claim: a dearer answer, a cheaper one, another status, nothing at all.
  expect(await places({ claim: { total: total + 100 } })).toEqual(
    expect.arrayContaining(["/objective/total", `/steps/${answer}/found`]),
  );
  expect(await places({ claim: { total: total - 100 } })).toContain("/objective/total");
  expect(await places({ claim: { bound: total + 100 } })).toContain("/bound");
  expect(await places({ claim: { status: "infeasible" } })).toContain("/status");
  expect(await places({ findings: { stopped: 0 } })).not.toEqual([]);

  // Steps that are missing, too many, or others.
  expect(await places({ findings: { steps: [] } })).toEqual(["/steps"]);
  expect(await places({ findings: { steps: steps.slice(0, -1) } })).toEqual(["/steps"]);
  expect(await places({ findings: { steps: [...steps, ...steps.slice(-1)] } })).toContain(`/steps/${steps.length}`);
  expect(await places({ findings: { steps: steps.toSpliced(answer, 1) } })).toContain(`/steps/${answer}`);

  // Multipliers: of the wrong sign, and such that too much stays or goes.
  const pricedBy = (by: number): Lie =>
    withStep(findings, pricing, (step) =>
      step.kind === "pricing" ? { ...step, multipliers: scaled(by, step.multipliers) } : step,
    );
  expect(await places(pricedBy(-1))).toContain(`/steps/${pricing}`);
  expect(await places(pricedBy(1e3))).not.toEqual([]);

  // Answers that cost otherwise, or that are no answers.
  const answered = (change: (found: NamedAnswer) => NamedAnswer): Lie =>
    withStep(findings, answer, (step) =>
      step.kind === "answer" && step.found !== undefined ? { ...step, found: change(step.found) } : step,
    );
  expect(await places(answered((found) => ({ ...found, cost: total - 500 })))).toContain(`/steps/${answer}/found/cost`);
  expect(await places(answered((found) => ({ ...found, machines: [] })))).toContain(`/steps/${answer}/found`);
  expect(await places(answered(renamed))).toContain(`/steps/${answer}/found`);

  // Columns that no bound drops, and columns that are none.
  const keeping = (kept: readonly (readonly number[])[]): Lie =>
    withStep(findings, narrowing, (step) => (step.kind === "narrowing" ? { ...step, kept } : step));
  const kept = steps.flatMap((step) => (step.kind === "narrowing" ? [step.kept] : []))[0] ?? [];
  expect(await places(keeping(kept.map((columns) => columns.slice(1))))).toContain(`/steps/${narrowing}/kept/0`);
  expect(await places(keeping(kept.slice(1)))).toContain(`/steps/${narrowing}/kept`);
  expect(await places(keeping(kept.map(() => [1e6])))).toContain(`/steps/${narrowing}/kept`);

  // The search: a limit that leaves the best out, an answer at another cost, a branch that is not there.
  const searched = (change: (step: Searching) => Partial<Searching>): Lie =>
    withStep(findings, search, (step) => (step.kind === "search" ? { ...step, ...change(step) } : step));
  const at = `/steps/${search}`;
  expect(await places(searched(({ limit }) => ({ limit: limit - 1000 })))).toContain(`${at}/limit`);
  expect(await places(searched(() => ({ branches: [] })))).toContain(`${at}/branches`);
  expect(await places(searched(({ judged }) => ({ judged: judged.map((one) => ({ ...one, cost: 1 })) })))).toContain(
    `${at}/judged/0/cost`,
  );
  expect(await places(searched(({ columns }) => ({ columns: columns.map((count) => count + 1) })))).toContain(
    `${at}/columns`,
  );
});

test("the certificate of another problem proves nothing, nor does an answer that the problem forbids", async () => {
  const { problem, catalogue } = drawn(SEED);
  const free = await recorded({ problem, catalogue });
  const best = free.decision.answer?.machines[0]?.axes[0];
  const parts = best === undefined ? [] : [best.motor.part];
  const strict = { problem: { ...problem, forbid: { ...problem.forbid, parts } }, catalogue };
  const other = await recorded(strict);
  expect(other.claim.total ?? Number.POSITIVE_INFINITY).toBeGreaterThan(free.claim.total ?? Number.NaN);
  expect(await proveOrder(strict, other.claim, other.findings)).toMatchObject(NOTHING_WRONG);

  for (const [order, { findings }] of [
    [{ problem, catalogue }, other],
    [strict, free],
  ] as const) {
    for (const { claim } of [free, other]) {
      const { flaws, contradictions } = await proveOrder(order, claim, findings);
      expect(flaws.length + contradictions.length).toBeGreaterThan(0);
    }
  }
  // The forbidden answer stands in every other way: as a limit it would drop all that is allowed.
  const found = free.decision.answer;
  const evaluated = free.decision.evaluated;
  if (found === undefined || evaluated === undefined) throw new Error("no answer");
  const forbidden = namedAnswer({ answer: found, cost: evaluated.money.total });
  const steps = other.findings.steps.map(
    (step): Step => (step.kind === "answer" ? { ...step, found: forbidden } : step),
  );
  const { flaws } = await proveOrder(strict, other.claim, { ...other.findings, steps });
  expect(flaws).toContainEqual({ at: "/steps/1/found", why: expect.stringContaining("less than what is claimed") });
});
