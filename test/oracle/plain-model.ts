import type { PlainColumn, PlainInput, PlainOption, PlainPart } from "./plain-problem.ts";

interface Row {
  readonly lower: number;
  readonly upper: number;
  readonly terms: Map<number, number>;
}

/** Room left to rows, so that only the exact judge turns an answer down for a hair. */
export const HAIR = 1e-5;

/** The integer model of a plain problem, with the rows that are known before any answer. */
export class PlainModel {
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
  /** By pool: power comes back at times. */
  readonly brakes: number[];
  private readonly data: PlainInput;
  private readonly used = new Map<string, number>();
  /** By part: whether each of its price steps holds. */
  private readonly stepOf = new Map<string, readonly number[]>();

  constructor(data: PlainInput) {
    this.data = data;
    this.x = data.axes.map(({ columns }) => columns.map(({ cost }) => this.variable(cost, 1, true)));
    this.z = data.pools.map(({ options }) => options.map(({ cost }) => this.variable(cost, 1, true)));
    this.input = data.pools.map(({ wattCost }) => this.variable(wattCost * (1 - HAIR), Infinity, false, -1e7));
    this.modules = data.pools.map(() => new Map<string, number>());
    this.brakes = data.pools.map(() => this.variable(0, 1, true));
    for (const list of [...this.x, ...this.z])
      this.row(
        1,
        1,
        list.map((v) => [v, 1]),
      );
    for (const part of data.parts) this.partRows(part);
    this.capRows();
    this.widthAndMassCaps();
    this.priceCapRows();
    this.familyRows();
    this.voltageRows();
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
      const modules = this.variable(part.moduleCost * pool.quantity, Infinity, true);
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
    this.stepOf.set(
      part.id,
      chosen.map(([step]) => step),
    );
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

  /** What each part comes to in a machine: at least its modules at the price of each step that holds. */
  private priceCapRows(): void {
    const { parts, axes, priceCaps } = this.data;
    for (const { pools: members, most } of priceCaps) {
      const terms: [number, number][] = [];
      for (const { id, steps } of parts) {
        const modules = members.flatMap((b) => this.modules[b]?.get(id) ?? []);
        if (modules.length === 0 || steps.length === 0) continue;
        const paid = this.variable(0, Infinity, false);
        terms.push([paid, 1]);
        for (const [k, step] of (this.stepOf.get(id) ?? []).entries()) {
          const price = steps[k]?.paid ?? 0;
          const all = price * (axes.length + members.length);
          this.row(-all, Infinity, [[paid, 1], [step, -all], ...modules.map((v): [number, number] => [v, -price])]);
        }
      }
      this.row(-Infinity, most * (1 + 1e-9), terms);
    }
  }

  /** No drive beside a supply of another family. */
  private familyRows(): void {
    this.apart(
      ({ family: one }, { family: other }) => one !== undefined && other !== undefined && one !== other,
      () => [],
    );
  }

  /** Where power comes back, no drive beside a supply that lets the voltage rise further than it bears. */
  private voltageRows(): void {
    this.apart(
      ({ mostVoltage }, { chopper }) => chopper > mostVoltage,
      (b) => [[this.brakes[b] ?? -1, 1]],
    );
  }

  /** A drive, the supplies of its pool that it does not go with, and something else: one of them is missing. */
  private apart(
    isClash: (part: PlainPart, option: PlainOption) => boolean,
    besides: (b: number) => readonly [number, number][],
  ): void {
    const { pools, axes, parts } = this.data;
    for (const [b, { options }] of pools.entries()) {
      for (const part of parts) {
        const others = options.flatMap((o, k): [number, number][] =>
          isClash(part, o) ? [[this.z[b]?.[k] ?? -1, 1]] : [],
        );
        if (others.length === 0) continue;
        const more = besides(b);
        for (const [a, { pool, columns }] of axes.entries()) {
          const own = columns.flatMap((c, k): [number, number][] =>
            pool === b && c.parts.includes(part.id) ? [[this.x[a]?.[k] ?? -1, 1]] : [],
          );
          if (own.length > 0) this.row(-Infinity, 1 + more.length, [...own, ...others, ...more]);
        }
      }
    }
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

  /** Σ ≤ 0 unless power comes back on the pool at times. */
  unlessBraking(b: number, terms: readonly [number, number][]): void {
    this.row(-Infinity, 0, [...terms, [this.brakes[b] ?? -1, -this.most(b, terms)]]);
  }

  /** More than a sum over a pool can come to. */
  private most(b: number, terms: readonly [number, number][]): number {
    const factors = new Map(terms.map(([variable, factor]) => [variable, Math.abs(factor)]));
    const largest = (list: readonly number[]): number =>
      list.reduce((most, v) => Math.max(most, factors.get(v) ?? 0), 0);
    const columns = this.x.reduce((sum, list) => sum + largest(list), 0);
    const modules = this.x.length * largest([...(this.modules[b]?.values() ?? [])]);
    return 1 + 2 * (columns + modules);
  }

  /** Σ ≤ the figure of the chosen option; options without that limit get room for everything. */
  within(b: number, terms: readonly [number, number][], limit: (option: PlainOption) => number): void {
    const all = this.most(b, terms);
    const options = this.data.pools[b]?.options ?? [];
    const room = options.map((option, o): [number, number] => {
      const value = limit(option);
      return [this.z[b]?.[o] ?? -1, -(Number.isFinite(value) ? Math.min(all, value + HAIR * Math.abs(value)) : all)];
    });
    this.row(-Infinity, 0, [...terms, ...room]);
  }
}
