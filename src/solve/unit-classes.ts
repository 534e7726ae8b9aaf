import type { CountedAnswer, CountedPart, CountedTask } from "./counted-part.ts";

/** Links of a part that come to the same units each. */
export interface UnitClass {
  readonly units: number;
  /** Positions among the part's links. */
  readonly links: Int32Array;
}

/** Room for what is open of a class, to be used again and again: its links by falling reward, and what the first so many earn. */
export interface ClassRoom {
  readonly order: Int32Array;
  readonly earned: Float64Array;
}

/** Most combinations of counts looked at; beyond it the tables are quicker. */
const MOST = 4096;

/** Links by what they come to; none where that would be too many combinations. */
export function unitClasses(units: readonly number[]): UnitClass[] {
  const distinct = [...new Set(units)].toSorted((a, b) => b - a);
  const classes = distinct.map((one) => ({ units: one, links: Int32Array.from(positionsOf(one, units)) }));
  return classes.reduce((product, { links }) => product * (links.length + 1), 1) > MOST ? [] : classes;
}

function positionsOf(wanted: number, units: readonly number[]): number[] {
  return units.flatMap((one, at) => (one === wanted ? [at] : []));
}

/** Room for each class of a part. */
export function newRooms({ classes }: Pick<CountedPart, "classes">): ClassRoom[] {
  return classes.map(({ links }) => ({
    order: new Int32Array(links.length),
    earned: new Float64Array(links.length + 1),
  }));
}

/** Counts by class that are looked at, and the best so far. */
interface Look {
  readonly part: CountedPart;
  readonly rooms: readonly ClassRoom[];
  readonly least: number;
  readonly most: number;
  /** By class: how many links are open. */
  readonly open: Int32Array;
  readonly counts: Int32Array;
  readonly best: Int32Array;
  value: number;
  units: number;
}

/**
 * The subproblem of a part whose links fall into few classes of equal units: within a class those of greatest reward come
 * first, so only the counts by class are looked through.
 */
export function solveByClasses(
  part: CountedPart,
  task: CountedTask,
  rooms: readonly ClassRoom[] = newRooms(part),
): CountedAnswer {
  const { classes } = part;
  const { state, reward } = task;
  const chosen = new Uint8Array(state.length);
  const open = new Int32Array(classes.length);
  let [units, earned] = [0, 0];
  for (let k = 0; k < classes.length; k += 1) {
    const one = classes[k]!;
    open[k] = sortOpen(one, task, rooms[k]!);
    for (let at = 0; at < one.links.length; at += 1) {
      const link = one.links[at]!;
      if (state[link] !== 2) continue;
      chosen[link] = 1;
      units += one.units;
      earned += reward[link]!;
    }
  }
  const look: Look = {
    part,
    rooms,
    least: Math.max(1, task.least),
    most: task.most,
    open,
    counts: new Int32Array(classes.length),
    best: new Int32Array(classes.length),
    value: Infinity,
    units: 0,
  };
  lookThrough(look, 0, units, earned);
  if (look.value < Infinity) take(look, chosen);
  return { value: look.value, chosen, modules: Float64Array.of(look.units) };
}

/** Hot: writes the open links of a class by falling reward, and what the first so many earn; returns how many there are. */
function sortOpen({ links }: UnitClass, { state, reward }: CountedTask, { order, earned }: ClassRoom): number {
  let count = 0;
  for (let at = 0; at < links.length; at += 1) {
    const link = links[at]!;
    if (state[link] !== 1) continue;
    let place = count;
    for (; place > 0 && reward[order[place - 1]!]! < reward[link]!; place -= 1) order[place] = order[place - 1]!;
    order[place] = link;
    count += 1;
  }
  for (let at = 0; at < count; at += 1) earned[at + 1] = earned[at]! + reward[order[at]!]!;
  return count;
}

/** Hot: every count of the classes from k on. */
function lookThrough(look: Look, k: number, units: number, earned: number): void {
  const own = look.part.classes[k];
  if (own === undefined) {
    weigh(look, units, earned);
    return;
  }
  const { earned: first } = look.rooms[k]!;
  for (let count = 0; count <= look.open[k]!; count += 1) {
    look.counts[k] = count;
    lookThrough(look, k + 1, units + count * own.units, earned + first[count]!);
  }
}

/** Hot. */
function weigh(look: Look, units: number, earned: number): void {
  if (units < look.least || units > look.most) return;
  const value = look.part.charge[units]! - earned;
  if (value >= look.value) return;
  look.value = value;
  look.units = units;
  look.best.set(look.counts);
}

function take({ rooms, best }: Look, chosen: Uint8Array): void {
  for (const [k, { order }] of rooms.entries()) for (let at = 0; at < best[k]!; at += 1) chosen[order[at]!] = 1;
}
