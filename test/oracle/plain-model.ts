import library, { type Highs } from "highs";

/**
 * The selection problem as one plain integer model, solved by HiGHS. Nothing of the program's builder, reductions or
 * bounds is used: columns come as data, rows that depend on time are added when an answer breaks them, and an exact
 * judge outside has the last word on every answer.
 */
export interface PlainInput {
  readonly axes: readonly PlainAxis[];
  readonly pools: readonly PlainPool[];
  /** Everything that is counted: part numbers, frames, makers. */
  readonly parts: readonly PlainPart[];
  readonly caps: readonly { readonly members: readonly string[]; readonly most: number }[];
  /** Pairs of axes that take columns of the same key. */
  readonly twins: readonly (readonly [number, number])[];
  /** Mass and cabinet width that some axes (pools) may have together [kg, m]. */
  readonly massCaps: readonly { readonly axes: readonly number[]; readonly most: number }[];
  readonly widthCaps: readonly { readonly pools: readonly number[]; readonly most: number }[];
  /** Cost of a day of the longest lead time [cent/day]. */
  readonly dayCost: number;
  /** Largest difference that rounding each term to cents can make [cent]. */
  readonly rounding: number;
}

export interface PlainAxis {
  readonly pool: number;
  /** Axes that ride on this one, all of them. */
  readonly riders: readonly number[];
  readonly columns: readonly PlainColumn[];
}

/** A pick at one carried mass. */
export interface PlainColumn {
  readonly key: string;
  readonly parts: readonly string[];
  /** Whatever is not charged by count [cent]. */
  readonly cost: number;
  /** Mass that rides on carriers [kg]; mass this column carries [kg]. */
  readonly mass: number;
  readonly carried: number;
  /** Power without fixed losses at instants, as supply rows and as resistor rows count it [W]. */
  readonly instants: { readonly drawn: ArrayLike<number>; readonly given: ArrayLike<number> };
  /** Mean power in each slot: for supply rows, resistor rows, and for the bill [W]. */
  readonly slots: {
    readonly drawn: ArrayLike<number>;
    readonly given: ArrayLike<number>;
    readonly billed: ArrayLike<number>;
  };
}

/** A bus of a machine. */
export interface PlainPool {
  readonly quantity: number;
  readonly options: readonly PlainOption[];
  /** Cost of a watt of mean input over the years [cent/W]. */
  readonly wattCost: number;
  /** Share of the cycle of each slot, and the cycle [s]. */
  readonly slotShares: readonly number[];
  readonly cycle: number;
}

/** A supply with or without resistor; powers already without margin; Infinity where there is no such limit. */
export interface PlainOption {
  readonly parts: readonly string[];
  readonly cost: number;
  readonly feedsBack: boolean;
  readonly peak: number;
  readonly continuous: number;
  readonly backPeak: number;
  readonly backContinuous: number;
  /** Energy that the supply's own capacitors hold, and per farad of the drives [J, J/F]; Infinity: a resistor takes it. */
  readonly room: number;
  readonly roomPerFarad: number;
  /** Capacitance of the drives it can charge [F]. */
  readonly mostFarads: number;
  readonly width: number;
}

export interface PlainPart {
  readonly id: string;
  /** Charged once when used at all [cent]. */
  readonly fixed: number;
  /** Unit price by quantity [cent]; empty: free. */
  readonly steps: readonly { readonly from: number; readonly price: number }[];
  readonly channels: number;
  /** Per module [W, F]. */
  readonly fixedLoss: number;
  readonly capacitance: number;
  readonly width: number;
  /** Any other cost of a module [cent]. */
  readonly moduleCost: number;
  /** [day] */
  readonly leadTime: number;
}

/** Column of every axis, option of every pool. */
export interface PlainChoice {
  readonly columns: readonly number[];
  readonly options: readonly number[];
}

/** Exact cost [cent], or the axes and pools that together break a limit. */
export type PlainJudgement =
  | { readonly cost: number }
  | { readonly cost: null; readonly axes: readonly number[]; readonly pools: readonly number[] };

export interface PlainAnswer {
  readonly cost: number;
  readonly choice: PlainChoice;
  readonly rounds: number;
}

interface Row {
  readonly lower: number;
  readonly upper: number;
  readonly terms: Map<number, number>;
}

/** Room left to rows, so that only the exact judge turns an answer down for a hair. */
const HAIR = 1e-5;

class PlainModel {
  readonly costs: number[] = [];
  readonly uppers: number[] = [];
  readonly lowers: number[] = [];
  readonly integer: boolean[] = [];
  readonly rows: Row[] = [];
  readonly x: number[][];
  readonly z: number[][];
  /** Mean input of a pool, above what any row says. */
  readonly input: number[];
  /** Modules by pool and part. */
  readonly modules: Map<string, number>[];
  private readonly data: PlainInput;
  private readonly used = new Map<string, number>();

  constructor(data: PlainInput) {
    this.data = data;
    this.x = data.axes.map(({ columns }) => columns.map(({ cost }) => this.variable(cost, 1, true)));
    this.z = data.pools.map(({ options }) => options.map(({ cost }) => this.variable(cost, 1, true)));
    this.input = data.pools.map(({ wattCost }) => this.variable(wattCost * (1 - HAIR), Infinity, false, -1e7));
    this.modules = data.pools.map(() => new Map<string, number>());
    for (const list of [...this.x, ...this.z])
      this.row(
        1,
        1,
        list.map((v) => [v, 1]),
      );
    for (const part of data.parts) this.partRows(part);
    this.capRows();
    this.widthAndMassCaps();
    this.leadTimeRows();
    for (const b of data.pools.keys())
      this.within(
        b,
        this.sum(
          b,
          () => 0,
          ({ capacitance }) => capacitance,
        ),
        ({ mostFarads }) => mostFarads,
      );
    this.twinRows();
    this.massRows();
  }

  private variable(cost: number, upper: number, isInteger: boolean, lower = 0): number {
    this.costs.push(cost);
    this.uppers.push(upper);
    this.lowers.push(lower);
    this.integer.push(isInteger);
    return this.costs.length - 1;
  }

  row(lower: number, upper: number, terms: readonly (readonly [number, number])[]): void {
    const sums = new Map<number, number>();
    for (const [variable, factor] of terms) sums.set(variable, (sums.get(variable) ?? 0) + factor);
    this.rows.push({ lower, upper, terms: sums });
  }

  /** uses → modules per pool → units bought → the one price step that holds at that number. */
  private partRows(part: PlainPart): void {
    const { axes, pools } = this.data;
    const used = this.variable(part.fixed, 1, true);
    this.used.set(part.id, used);
    const bought: [number, number][] = [];
    for (const [b, pool] of pools.entries()) {
      const uses = [
        ...axes.flatMap(({ pool: own, columns }, a) =>
          own === b ? columns.flatMap((c, k) => (c.parts.includes(part.id) ? [this.x[a]?.[k] ?? -1] : [])) : [],
        ),
        ...pool.options.flatMap((o, k) => (o.parts.includes(part.id) ? [this.z[b]?.[k] ?? -1] : [])),
      ];
      if (uses.length === 0) continue;
      const modules = this.variable(part.moduleCost, Infinity, true);
      this.modules[b]?.set(part.id, modules);
      const counted = uses.map((v): [number, number] => [v, 1]);
      this.row(0, part.channels - 1, [[modules, part.channels], ...counted.map(([v]): [number, number] => [v, -1])]);
      for (const a of axes.keys()) {
        const own = uses.filter((v) => this.x[a]?.includes(v));
        if (own.length > 0) this.row(-Infinity, 0, [...own.map((v): [number, number] => [v, 1]), [used, -1]]);
      }
      for (const v of uses)
        if (this.z[b]?.includes(v))
          this.row(-Infinity, 0, [
            [v, 1],
            [used, -1],
          ]);
      bought.push([modules, pool.quantity]);
    }
    if (part.steps.length === 0 || bought.length === 0) return;
    const most = pools.reduce((sum, { quantity }) => sum + quantity, 0) * (axes.length + 1);
    const units: [number, number][] = [];
    const chosen: [number, number][] = [];
    for (const [k, { from, price }] of part.steps.entries()) {
      const to = (part.steps[k + 1]?.from ?? most + 1) - 1;
      const step = this.variable(0, 1, true);
      const count = this.variable(price, Infinity, false);
      this.row(0, Infinity, [
        [count, 1],
        [step, -from],
      ]);
      this.row(-Infinity, 0, [
        [count, 1],
        [step, -Math.max(to, from)],
      ]);
      units.push([count, 1]);
      chosen.push([step, 1]);
    }
    this.row(-Infinity, 1, chosen);
    this.row(0, 0, [...units, ...bought.map(([v, quantity]): [number, number] => [v, -quantity])]);
  }

  private capRows(): void {
    for (const { members, most } of this.data.caps)
      this.row(
        -Infinity,
        most,
        members.flatMap((id) => (this.used.has(id) ? [[this.used.get(id) ?? -1, 1] as const] : [])),
      );
  }

  private widthAndMassCaps(): void {
    const { axes, pools, massCaps, widthCaps } = this.data;
    for (const { axes: members, most } of massCaps)
      this.row(
        -Infinity,
        most * (1 + 1e-9),
        members.flatMap((a) =>
          (axes[a]?.columns ?? []).map((c, k): [number, number] => [this.x[a]?.[k] ?? -1, c.mass]),
        ),
      );
    for (const { pools: members, most } of widthCaps)
      this.row(
        -Infinity,
        most * (1 + 1e-9),
        members.flatMap((b) => [
          ...this.sum(
            b,
            () => 0,
            ({ width }) => width,
          ),
          ...(pools[b]?.options ?? []).map((o, k): [number, number] => [this.z[b]?.[k] ?? -1, o.width]),
        ]),
      );
  }

  private leadTimeRows(): void {
    if (this.data.dayCost === 0) return;
    const longest = this.variable(this.data.dayCost, Infinity, false);
    for (const { id, leadTime } of this.data.parts)
      this.row(0, Infinity, [
        [longest, 1],
        [this.used.get(id) ?? -1, -leadTime],
      ]);
  }

  private twinRows(): void {
    const { axes, twins } = this.data;
    for (const [a, b] of twins) {
      const keys = new Set([a, b].flatMap((axis) => (axes[axis]?.columns ?? []).map(({ key }) => key)));
      const terms = (axis: number, key: string, sign: number): [number, number][] =>
        (axes[axis]?.columns ?? []).flatMap((c, k) =>
          c.key === key ? [[this.x[axis]?.[k] ?? -1, sign] as [number, number]] : [],
        );
      for (const key of keys) this.row(0, 0, [...terms(a, key, 1), ...terms(b, key, -1)]);
    }
  }

  /** A carrier's column is the one worked out for just the mass that rides on it. */
  private massRows(): void {
    for (const [a, { riders, columns }] of this.data.axes.entries()) {
      if (riders.length === 0) continue;
      const carried = columns.map((c, k): [number, number] => [this.x[a]?.[k] ?? -1, -c.carried]);
      const riding = riders.flatMap((r) =>
        (this.data.axes[r]?.columns ?? []).map((c, k): [number, number] => [this.x[r]?.[k] ?? -1, c.mass]),
      );
      this.row(-1e-6, 1e-6, [...carried, ...riding]);
    }
  }

  /** Terms of a sum over the columns of a pool, and of a figure of its modules. */
  sum(b: number, of: (column: PlainColumn) => number, perModule: (part: PlainPart) => number): [number, number][] {
    const { axes, parts } = this.data;
    const columns = axes.flatMap(({ pool, columns: own }, a) =>
      pool === b ? own.map((c, k): [number, number] => [this.x[a]?.[k] ?? -1, of(c)]) : [],
    );
    const modules = parts.flatMap((part): [number, number][] => {
      const variable = this.modules[b]?.get(part.id);
      return variable === undefined ? [] : [[variable, perModule(part)]];
    });
    return [...columns, ...modules];
  }

  /** Σ ≤ the figure of the chosen option; options without that limit get room for everything. */
  within(b: number, terms: readonly [number, number][], limit: (option: PlainOption) => number): void {
    const factors = new Map(terms.map(([variable, factor]) => [variable, Math.abs(factor)]));
    const largest = (list: readonly number[]): number =>
      list.reduce((most, v) => Math.max(most, factors.get(v) ?? 0), 0);
    const columns = this.x.reduce((sum, list) => sum + largest(list), 0);
    const modules = this.x.length * largest([...(this.modules[b]?.values() ?? [])]);
    const all = 1 + 2 * (columns + modules);
    const options = this.data.pools[b]?.options ?? [];
    const room = options.map((option, o): [number, number] => {
      const value = limit(option);
      return [this.z[b]?.[o] ?? -1, -(Number.isFinite(value) ? Math.min(all, value + HAIR * Math.abs(value)) : all)];
    });
    this.row(-Infinity, 0, [...terms, ...room]);
  }
}

type Loader = typeof library.default;

function isLoader(value: unknown): value is Loader {
  return typeof value === "function";
}

async function loadHighs(): Promise<Highs> {
  const found: unknown = library;
  if (!isLoader(found)) throw new Error("highs does not export its loader");
  return found();
}

function solved(highs: Highs, model: PlainModel): number[] | null {
  const starts = [0];
  const indices: number[] = [];
  const values: number[] = [];
  for (const { terms } of model.rows) {
    for (const [variable, factor] of terms) {
      if (factor === 0) continue;
      indices.push(variable);
      values.push(factor);
    }
    starts.push(indices.length);
  }
  const finite = (value: number): number => (Number.isFinite(value) ? value : Math.sign(value) * highs.infinity);
  const { integer, continuous } = highs.constants.variableType;
  const data = {
    numCols: model.costs.length,
    numRows: model.rows.length,
    colCost: model.costs,
    colLower: model.lowers.map(finite),
    colUpper: model.uppers.map(finite),
    rowLower: model.rows.map(({ lower }) => finite(lower)),
    rowUpper: model.rows.map(({ upper }) => finite(upper)),
    integrality: model.integer.map((isInteger) => (isInteger ? integer : continuous)),
    matrix: {
      format: "csr" as const,
      numRows: model.rows.length,
      numCols: model.costs.length,
      starts,
      indices,
      values,
    },
  };
  // Presolve has called feasible models infeasible before: the claim must hold without it.
  for (const presolve of ["on", "off"] as const) {
    const found = highs.withModel(data, (loaded) => {
      loaded.options.set({
        output_flag: false,
        presolve,
        mip_rel_gap: 0,
        mip_abs_gap: 1e-6,
        mip_feasibility_tolerance: 1e-9,
      });
      loaded.run();
      const optimal = loaded.getModelStatus() === highs.constants.modelStatus.optimal;
      return optimal ? Array.from(loaded.getSolution().colValue) : null;
    });
    if (found !== null) return found;
  }
  return null;
}

/** Adds every row about time that a choice breaks; true: there was one. */
function separated(data: PlainInput, model: PlainModel, choice: PlainChoice, values: readonly number[]): boolean {
  const before = model.rows.length;
  for (const [b, pool] of data.pools.entries()) {
    const option = pool.options[choice.options[b] ?? -1];
    if (option === undefined) continue;
    const members = data.axes.flatMap(({ pool: own, columns }, a) =>
      own === b ? [columns[choice.columns[a] ?? -1]] : [],
    );
    const fixed = data.parts.reduce(
      (sum, part) => sum + part.fixedLoss * Math.round(values[model.modules[b]?.get(part.id) ?? -1] ?? 0),
      0,
    );
    const total = (n: number, of: (c: PlainColumn) => ArrayLike<number>): number[] =>
      Array.from({ length: n }, (_, t) =>
        members.reduce((sum, c) => sum + (c === undefined ? 0 : (of(c)[t] ?? 0)), fixed),
      );
    const add = (over: boolean, terms: () => [number, number][], limit: (o: PlainOption) => number): void => {
      if (over) model.within(b, terms(), limit);
    };
    const loss = (p: PlainPart): number => p.fixedLoss;
    const instants = members[0]?.instants.drawn.length ?? 0;
    const drawn = total(instants, (c) => c.instants.drawn);
    const given = total(instants, (c) => c.instants.given);
    const top = drawn.indexOf(Math.max(...drawn));
    const low = given.indexOf(Math.min(...given));
    const room = 1 + 2 * HAIR;
    const at = (t: number, of: (c: PlainColumn) => ArrayLike<number>, sign: number) => (): [number, number][] =>
      model.sum(
        b,
        (c) => sign * (of(c)[t] ?? 0),
        (p) => sign * loss(p),
      );
    add(
      (drawn[top] ?? 0) > option.peak * room,
      at(top, (c) => c.instants.drawn, 1),
      (o) => o.peak,
    );
    add(
      -(given[low] ?? 0) > option.backPeak * room,
      at(low, (c) => c.instants.given, -1),
      (o) => o.backPeak,
    );

    const shares = pool.slotShares;
    /** A sum over slots where the choice has a sign; any set of slots gives a valid row. */
    const set = (powers: readonly number[], of: (c: PlainColumn) => ArrayLike<number>, sign: number) => {
      const slots = shares.flatMap((_, t) => (sign * (powers[t] ?? 0) > 0 ? [t] : []));
      const share = slots.reduce((sum, t) => sum + (shares[t] ?? 0), 0);
      const value = slots.reduce((sum, t) => sum + sign * (shares[t] ?? 0) * (powers[t] ?? 0), 0);
      const terms = (): [number, number][] =>
        model.sum(
          b,
          (c) => slots.reduce((sum, t) => sum + sign * (shares[t] ?? 0) * (of(c)[t] ?? 0), 0),
          (p) => sign * share * loss(p),
        );
      return { value, terms };
    };
    const slotsDrawn = total(shares.length, (c) => c.slots.drawn);
    const slotsGiven = total(shares.length, (c) => c.slots.given);
    const billed = total(shares.length, (c) => c.slots.billed);
    const taken = set(slotsDrawn, (c) => c.slots.drawn, 1);
    add(!option.feedsBack && taken.value > option.continuous * room, taken.terms, (o) =>
      o.feedsBack ? Infinity : o.continuous,
    );
    const back = set(slotsGiven, (c) => c.slots.given, -1);
    add(back.value > option.backContinuous * room, back.terms, (o) => o.backContinuous);
    if (pool.wattCost > 0) {
      const bill = option.feedsBack
        ? set(
            billed.map(() => 1),
            (c) => c.slots.billed,
            1,
          )
        : set(billed, (c) => c.slots.billed, 1);
      const value = option.feedsBack ? billed.reduce((sum, p, t) => sum + p * (shares[t] ?? 0), 0) : bill.value;
      const have = values[model.input[b] ?? -1] ?? 0;
      if (value > have + 1e-4 * Math.max(1, Math.abs(value)) * HAIR) {
        const terms: [number, number][] = [...bill.terms(), [model.input[b] ?? -1, -1]];
        model.within(b, terms, (o) => (o.feedsBack && !option.feedsBack ? Infinity : 0));
      }
    }
    if (Number.isFinite(option.room)) windowRow(data, model, { b, pool, option }, slotsGiven, values);
  }
  return model.rows.length > before;
}

/** The window (over the end of the cycle too) that feeds back most, held by capacitors: a row when they cannot. */
function windowRow(
  data: PlainInput,
  model: PlainModel,
  { b, pool, option }: { readonly b: number; readonly pool: PlainPool; readonly option: PlainOption },
  given: readonly number[],
  values: readonly number[],
): void {
  const n = given.length;
  const { slotShares: shares, cycle } = pool;
  let energy = 0;
  let start = 0;
  let best = { energy: 0, from: 0, to: 0 };
  for (let k = 0; k < 2 * n; k++) {
    const t = k % n;
    if (energy <= 0 || k - start >= n) {
      energy = 0;
      start = k;
    }
    energy -= (given[t] ?? 0) * (shares[t] ?? 0) * cycle;
    if (energy > best.energy) best = { energy, from: start, to: k };
  }
  const farads = data.parts.reduce(
    (sum, part) => sum + part.capacitance * Math.round(values[model.modules[b]?.get(part.id) ?? -1] ?? 0),
    0,
  );
  if (best.energy <= (option.room + option.roomPerFarad * farads) * (1 + 2 * HAIR)) return;
  const slots = Array.from({ length: best.to - best.from + 1 }, (_, k) => (best.from + k) % n);
  const share = slots.reduce((sum, t) => sum + (shares[t] ?? 0), 0);
  model.within(
    b,
    model.sum(
      b,
      (c) => -slots.reduce((sum, t) => sum + (c.slots.given[t] ?? 0) * (shares[t] ?? 0) * cycle, 0),
      (p) => -p.fixedLoss * share * cycle - option.roomPerFarad * p.capacitance,
    ),
    (o) => o.room,
  );
}

/**
 * Lowest cost of the plain model under the exact judge; null: no answer stands.
 *
 * All options of a pool must share `roomPerFarad` where they have it.
 *
 * @throws Error after `mostRounds` solves
 */
export async function solvePlain(
  data: PlainInput,
  judge: (choice: PlainChoice) => PlainJudgement,
  mostRounds = 2000,
): Promise<PlainAnswer | null> {
  const highs = await loadHighs();
  if (data.axes.some(({ columns }) => columns.length === 0) || data.pools.some(({ options }) => options.length === 0))
    return null;
  const model = new PlainModel(data);
  let best: { cost: number; choice: PlainChoice } | null = null;
  for (let rounds = 1; rounds <= mostRounds; rounds++) {
    const values = solved(highs, model);
    const bound = values?.reduce((sum, value, v) => sum + value * (model.costs[v] ?? 0), 0) ?? Infinity;
    if (values === null || bound >= (best?.cost ?? Infinity) - 0.5 + data.rounding)
      return best === null ? null : { ...best, rounds };
    const chosen = (list: readonly number[]): number => list.findIndex((v) => (values[v] ?? 0) > 0.5);
    const choice = { columns: model.x.map(chosen), options: model.z.map(chosen) };
    if (separated(data, model, choice, values)) continue;
    const judged = judge(choice);
    const axes = judged.cost === null ? judged.axes : data.axes.map((_, a) => a);
    const pools = judged.cost === null ? judged.pools : data.pools.map((_, b) => b);
    if (judged.cost !== null && judged.cost < (best?.cost ?? Infinity)) best = { cost: judged.cost, choice };
    const taken = [
      ...axes.map((a) => model.x[a]?.[choice.columns[a] ?? -1] ?? -1),
      ...pools.map((b) => model.z[b]?.[choice.options[b] ?? -1] ?? -1),
    ];
    model.row(
      -Infinity,
      taken.length - 1,
      taken.map((v) => [v, 1]),
    );
  }
  throw new Error(`the plain model is not closed after ${mostRounds} rounds`);
}
