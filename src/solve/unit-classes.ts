import type { CountedAnswer, CountedPart, CountedTask } from "./counted-part.ts";

/** Links of a part that come to the same units each. */
export interface UnitClass {
  readonly units: number;
  /** Positions among the part's links. */
  readonly links: readonly number[];
}

/** Most combinations of counts looked at; beyond it the tables are quicker. */
const MOST = 4096;

/** Links by what they come to; none where that would be too many combinations. */
export function unitClasses(units: readonly number[]): UnitClass[] {
  const distinct = [...new Set(units)].toSorted((a, b) => b - a);
  const classes = distinct.map((one) => ({
    units: one,
    links: units.flatMap((other, at) => (other === one ? [at] : [])),
  }));
  return classes.reduce((product, { links }) => product * (links.length + 1), 1) > MOST ? [] : classes;
}

/** What is open of a class: its links by falling reward, and what the first so many earn beside the forced ones. */
interface Open {
  readonly units: number;
  readonly order: readonly number[];
  readonly earned: Float64Array;
}

/** The best counts so far. */
interface Best {
  value: number;
  units: number;
  counts: number[];
}

/**
 * The subproblem of a part whose links fall into few classes of equal units: within a class those of greatest reward come
 * first, so only the counts by class are looked through.
 */
export function solveByClasses(part: CountedPart, task: CountedTask): CountedAnswer {
  const chosen = Uint8Array.from(task.state, (state) => (state === 2 ? 1 : 0));
  const base = forcedIn(part, task);
  const open = part.classes.map((one) => openIn(one, task));
  const best: Best = { value: Infinity, units: 0, counts: open.map(() => 0) };
  lookThrough({ part, task, open, best, counts: open.map(() => 0) }, 0, base);
  if (best.value < Infinity)
    for (const [k, { order }] of open.entries()) for (const at of order.slice(0, best.counts[k])) chosen[at] = 1;
  return { value: best.value, chosen, modules: Float64Array.of(best.units) };
}

interface Sum {
  readonly units: number;
  readonly earned: number;
}

function forcedIn({ classes }: CountedPart, { state, reward }: CountedTask): Sum {
  let [units, earned] = [0, 0];
  for (const one of classes) {
    for (const at of one.links) {
      if (state[at] !== 2) continue;
      units += one.units;
      earned += reward[at]!;
    }
  }
  return { units, earned };
}

function openIn({ units, links }: UnitClass, { state, reward }: CountedTask): Open {
  const order = links.filter((at) => state[at] === 1).toSorted((a, b) => reward[b]! - reward[a]! || a - b);
  const earned = new Float64Array(order.length + 1);
  for (let count = 0; count < order.length; count += 1) earned[count + 1] = earned[count]! + reward[order[count]!]!;
  return { units, order, earned };
}

interface Look {
  readonly part: CountedPart;
  readonly task: CountedTask;
  readonly open: readonly Open[];
  readonly best: Best;
  readonly counts: number[];
}

/** Hot: every count of the classes from k on. */
function lookThrough(look: Look, k: number, { units, earned }: Sum): void {
  const { part, task, open, best, counts } = look;
  const own = open[k];
  if (own === undefined) {
    if (units < Math.max(1, task.least) || units > task.most) return;
    const value = part.charge[units]! - earned;
    if (value >= best.value) return;
    best.value = value;
    best.units = units;
    best.counts = [...counts];
    return;
  }
  for (let count = 0; count < own.earned.length; count += 1) {
    counts[k] = count;
    lookThrough(look, k + 1, { units: units + count * own.units, earned: earned + own.earned[count]! });
  }
}
