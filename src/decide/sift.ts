import { candidateOf } from "../candidates/each-candidate.ts";
import type { AnyPart, Catalogue } from "../machine/catalogue.ts";
import { energyPrice, priceInColumn } from "../model/build.ts";
import type { Picks, SelectionModel } from "../model/selection.ts";
import type { Multipliers } from "../solve/multipliers.ts";
import { type Prices, pricesOf } from "../solve/prices.ts";
import { type AxisColumns, columnOf, type JudgedAxis } from "./axis-columns.ts";
import { eachPriced, type PartTerms, type Priced, partTerms, type TermSource } from "./part-terms.ts";
import type { Taken } from "./power-book.ts";
import { type Round, roundOf, type TakenSpans } from "./round.ts";
import type { Setup } from "./setup.ts";

/** Candidates of every axis, packed, by machine and axis. */
export type JudgedAxes = readonly (readonly JudgedAxis[])[];

/** What sifting needs from outside: a bound with its multipliers, and the exact cost of a good answer. */
export interface SiftTools {
  /** Raises the bound of a model from multipliers that were good for one much like it. */
  readonly raise: (
    model: SelectionModel,
    from: Multipliers | undefined,
  ) => { multipliers: Multipliers; suggestions: readonly Picks[] };
  /** The best of some answers at its exact cost [cent]; undefined where none stands. */
  readonly best: (round: Round, suggestions: readonly Picks[]) => { readonly cost: number } | undefined;
  /** Spans over which power is counted. */
  readonly taken: TakenSpans;
  /** An answer of this cost is known already, or nothing dearer is wanted [cent]. */
  readonly known: number;
  readonly isStopped: () => boolean;
  /** Where an earlier, much alike question ended: a place to start. */
  readonly memory: SiftMemory | undefined;
}

/** Multipliers and thin sets of candidates that an earlier sifting ended with; changes nothing but the way. */
export interface SiftMemory {
  readonly multipliers: Multipliers;
  readonly thin: ReadonlyMap<JudgedAxis, ReadonlyMap<string, Visit>>;
}

/** What is left, and the cost of the best known answer [cent]. */
export interface Sifted {
  readonly columns: readonly (readonly AxisColumns[])[];
  readonly best: number;
  /** No answer costs less [cent]. */
  readonly bound: number;
  /** false: stopped on the way; what is left is a selection, not all that an answer can contain. */
  readonly isWhole: boolean;
  readonly memory: SiftMemory;
}

/** Cheapest candidates of an axis that join the thin model in each turn. */
const JOIN = 60;
/** Turns at the most, and the share of the bound below which another is not worth it. */
const TURNS = 8;
const WORTH = 1e-3;

/**
 * Keeps every candidate that an answer no dearer than the best known one can contain, and drops the rest by proof.
 *
 * Multipliers are found on a thin model that holds every part of every axis at least once; they then price out every
 * candidate: bound + (reduced cost − least reduced cost of the axis) + what its unused parts cost at least. One pass over
 * packed candidates in place of a column for each. The cheapest ones join the thin model and the turn is taken again.
 */
export function sifted(setup: Setup, judged: JudgedAxes, tools: SiftTools): Sifted {
  const thin = thinSets(setup, judged, tools);
  let multipliers = tools.memory?.multipliers;
  let best = tools.known;
  for (let turn = 1; ; turn++) {
    const round = roundOf(setup, thinColumns(setup, judged, thin), { mean: "quick", taken: tools.taken });
    const bare = { ...round.built.model, rows: [], envelopes: [] };
    const raised = tools.raise(bare, multipliers);
    ({ multipliers } = raised);
    const memory = { multipliers, thin: remembered(judged, thin) };
    best = Math.min(best, tools.best(round, raised.suggestions)?.cost ?? Number.POSITIVE_INFINITY);
    const prices = pricesOf(bare, multipliers);
    const priced = judged.map((axes, m) =>
      axes.map((axis, a) =>
        isShared(setup, m, a) ? undefined : pricedAxis(round, axis, { machine: m, axis: a, prices }),
      ),
    );
    const full = priced
      .flat()
      .reduce((sum, one) => (one === undefined ? sum : sum + one.least - (prices.least[one.group] ?? 0)), prices.bound);
    const outcome = { best, bound: full, memory };
    if (full > best + round.built.model.rounding)
      return { columns: noColumns(setup, judged), isWhole: true, ...outcome };
    if (tools.isStopped()) return { columns: thinColumns(setup, judged, thin), isWhole: false, ...outcome };
    if (turn === TURNS || prices.bound - full < WORTH * Math.abs(prices.bound)) {
      return {
        columns: keptColumns(setup, judged, { priced, thin, room: best + round.built.model.rounding - full }),
        isWhole: true,
        ...outcome,
      };
    }
    priced.forEach((axes, m) =>
      axes.forEach((one, a) => one?.cheapest.forEach((visit) => thin[m]?.[a]?.set(visitKey(visit), visit))),
    );
  }
}

/** The best quick answer on the thin model alone is told to `best`; hands back the thin model's candidates. */
export function glimpsed(setup: Setup, judged: JudgedAxes, tools: SiftTools): AxisColumns[][] {
  const columns = thinColumns(setup, judged, thinSets(setup, judged, tools));
  const round = roundOf(setup, columns, { mean: "quick", taken: tools.taken });
  const { suggestions } = tools.raise({ ...round.built.model, rows: [], envelopes: [] }, undefined);
  tools.best(round, suggestions);
  return columns;
}

function noColumns(setup: Setup, judged: JudgedAxes): AxisColumns[][] {
  return judged.map((axes) => axes.map((axis) => packedColumns(axis, setup.catalogue, [])));
}

function remembered(judged: JudgedAxes, thin: ThinSets): SiftMemory["thin"] {
  const pairs = judged.flatMap((axes, m) =>
    axes.map((axis, a) => [axis, thin[m]?.[a] ?? new Map<string, Visit>()] as const),
  );
  return new Map(pairs);
}

type ThinSets = readonly (readonly Map<string, Visit>[])[];

function thinSets(setup: Setup, judged: JudgedAxes, { taken, memory }: SiftTools): ThinSets {
  return judged.map((axes, m) =>
    axes.map((axis, a) =>
      isShared(setup, m, a)
        ? whole(axis, setup.catalogue)
        : new Map(memory?.thin.get(axis) ?? thinned(setup, axis, takenBy(taken, axis, m))),
    ),
  );
}

function thinColumns(setup: Setup, judged: JudgedAxes, thin: ThinSets): AxisColumns[][] {
  return judged.map((axes, m) =>
    axes.map((axis, a) => packedColumns(axis, setup.catalogue, thin[m]?.[a]?.values() ?? [])),
  );
}

function keptColumns(
  setup: Setup,
  judged: JudgedAxes,
  { priced, thin, room }: { priced: readonly (readonly (PricedAxis | undefined)[])[]; thin: ThinSets; room: number },
): AxisColumns[][] {
  return judged.map((axes, m) =>
    axes.map((axis, a) => {
      const one = priced[m]?.[a];
      if (one === undefined) return packedColumns(axis, setup.catalogue, thin[m]?.[a]?.values() ?? []);
      return kept(axis, setup.catalogue, { ...one, room });
    }),
  );
}

type Visit = Pick<Priced, "pair" | "index" | "drive" | "inductor"> & { readonly score: number };

function visitKey({ pair, drive, inductor }: Visit): string {
  return `${pair.motor} ${pair.gearbox} ${drive} ${inductor}`;
}

function takenBy(taken: TakenSpans, axis: JudgedAxis, m: number): Taken {
  return taken[m]?.[axis.setup.bus] ?? { spans: [], share: 1 };
}

function isShared(setup: Setup, machine: number, axis: number): boolean {
  const own = setup.machines[machine];
  return own?.machine.samePick.some((ids) => ids.includes(own.axes[axis]?.axis.id ?? "")) === true;
}

function packedColumns(
  axis: JudgedAxis,
  catalogue: Catalogue,
  visits: Iterable<Pick<Priced, "pair" | "index" | "drive" | "inductor">>,
): AxisColumns {
  const around = { passing: axis.bins.map((_, c) => c), cases: axis.bins };
  const columns = [...visits].flatMap((visit) => columnOf(candidateOf(axis.judged, visit), catalogue, around));
  return {
    setup: axis.setup,
    cases: axis.bins,
    duties: axis.duties,
    columns,
    judging: axis.judging,
    tally: axis.judged.tally,
  };
}

function whole(axis: JudgedAxis, catalogue: Catalogue): Map<string, Visit> {
  const all = new Map<string, Visit>();
  eachPriced(axis, catalogue, {
    terms: [],
    taken: { spans: [], share: 1 },
    visit: (found) => {
      const visit = visitOf(found, 0);
      all.set(visitKey(visit), visit);
    },
  });
  return all;
}

/** The cheapest candidate with each part, frame and maker, and the cheapest of all. */
function thinned(setup: Setup, axis: JudgedAxis, taken: Taken): Map<string, Visit> {
  const { catalogue, problem } = setup;
  const energy = energyPrice(problem);
  const terms = partTerms(catalogue, { part: lowestPrice(setup), frame: () => 0, maker: () => 0 });
  const lists: (Visit | undefined)[][] = [[], [], [], []];
  const cheapest: Visit[] = [];
  eachPriced(axis, catalogue, {
    terms: [terms],
    taken,
    visit: (found) => {
      const score = (found.sums[0] ?? 0) + energy * found.power;
      const places = [found.pair.motor, found.pair.gearbox + 1, found.drive, found.inductor + 1];
      for (let k = 0; k < 4; k++) {
        const [list, at] = [lists[k], places[k]];
        if (list !== undefined && at !== undefined && score < (list[at]?.score ?? Number.POSITIVE_INFINITY))
          list[at] = visitOf(found, score);
      }
      keepCheapest(cheapest, found, score);
    },
  });
  return new Map(
    [...lists.flat(), ...cheapest].filter((visit) => visit !== undefined).map((visit) => [visitKey(visit), visit]),
  );
}

function lowestPrice({ problem: { weights } }: Setup): TermSource["part"] {
  return ({ prices }: AnyPart) => Math.min(...prices.map(({ price }) => price)) * weights.purchase;
}

function visitOf({ pair, index, drive, inductor }: Priced, score: number): Visit {
  return { pair, index, drive, inductor, score };
}

function keepCheapest(list: Visit[], found: Priced, score: number): void {
  const last = list.at(-1);
  if (list.length >= JOIN && last !== undefined && score >= last.score) return;
  const at = list.findIndex((other) => score < other.score);
  list.splice(at < 0 ? list.length : at, 0, visitOf(found, score));
  if (list.length > JOIN) list.pop();
}

interface PricedAxis {
  readonly group: number;
  readonly least: number;
  /** Candidates of least reduced cost. */
  readonly cheapest: readonly Visit[];
  readonly terms: readonly [PartTerms, PartTerms];
  /** Cents per watt of mean power. */
  readonly energy: number;
  readonly perMass: number;
  readonly taken: Taken;
}

/** Least reduced cost of all candidates of an axis, thin or not. */
function pricedAxis(round: Round, axis: JudgedAxis, at: { machine: number; axis: number; prices: Prices }): PricedAxis {
  const { setup, built } = round;
  const { problem, catalogue } = setup;
  const quantity = setup.machines[at.machine]?.machine.quantity ?? 1;
  const group = built.places.findIndex(
    (place) => place.kind === "axes" && place.machine === at.machine && place.axes.includes(at.axis),
  );
  const link = (part: number | undefined): number => (part === undefined ? 0 : at.prices.link(group, part));
  const slack = (part: number | undefined): number => (part === undefined ? 0 : at.prices.slack(part));
  const reduced = partTerms(catalogue, {
    part: (part) => quantity * priceInColumn(round.order, built.table, part) + link(built.table.find(part)),
    frame: (name) => link(built.table.frame(name)),
    maker: (name) => link(built.table.maker(name)),
  });
  const forced = partTerms(catalogue, {
    part: (part) => slack(built.table.find(part)),
    frame: (name) => slack(built.table.frame(name)),
    maker: (name) => slack(built.table.maker(name)),
  });
  const cheapest: Visit[] = [];
  const one = {
    group,
    least: 0,
    cheapest,
    terms: [reduced, forced] as const,
    energy: energyPrice(problem) * quantity,
    perMass: problem.weights.mass * quantity,
    taken: takenBy(round.taken, axis, at.machine),
  };
  eachPriced(axis, catalogue, {
    terms: one.terms,
    taken: one.taken,
    visit: (found) => keepCheapest(cheapest, found, reducedCost(catalogue, one, found)),
  });
  return { ...one, least: cheapest[0]?.score ?? Number.POSITIVE_INFINITY };
}

function reducedCost(
  { motors, gearboxes }: Catalogue,
  { energy, perMass }: PricedAxis,
  { pair, sums, power }: Priced,
): number {
  const mass = perMass === 0 ? 0 : perMass * ((motors[pair.motor]?.mass ?? 0) + (gearboxes[pair.gearbox]?.mass ?? 0));
  return (sums[0] ?? 0) + energy * power + mass;
}

/** Candidates whose bound leaves room for an answer as good as the best known. */
function kept(axis: JudgedAxis, catalogue: Catalogue, one: PricedAxis & { room: number }): AxisColumns {
  const left: Visit[] = [];
  eachPriced(axis, catalogue, {
    terms: one.terms,
    taken: one.taken,
    visit: (found) => {
      const over = reducedCost(catalogue, one, found) - one.least + (found.sums[1] ?? 0);
      if (over <= one.room) left.push(visitOf(found, over));
    },
  });
  return packedColumns(axis, catalogue, left);
}
