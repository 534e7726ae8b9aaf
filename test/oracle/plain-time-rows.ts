import { HAIR, type PlainModel } from "./plain-model.ts";
import type { PlainChoice, PlainColumn, PlainInput, PlainOption, PlainPool } from "./plain-problem.ts";

/** Adds every row about time that a choice breaks; true: there was one. */
export function separated(
  data: PlainInput,
  model: PlainModel,
  choice: PlainChoice,
  values: readonly number[],
): boolean {
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
        (p) => sign * p.fixedLoss,
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
    if ((given[low] ?? 0) < 0 && option.chopper > 0 && (values[model.brakes[b] ?? -1] ?? 0) < 0.5)
      model.unlessBraking(b, at(low, (c) => c.instants.given, -1)());

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
          (p) => sign * share * p.fixedLoss,
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
    // What a farad holds hangs on the voltage of the supply's chopper.
    (o) => (o.roomPerFarad === option.roomPerFarad ? o.room : Infinity),
  );
}
