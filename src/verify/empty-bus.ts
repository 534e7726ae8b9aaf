/** What one axis takes from a bus since its mains failed [J], by straight lines between times [s]; afterwards the same watts for ever. */
export interface Course {
  readonly times: readonly number[];
  readonly taken: readonly number[];
  readonly after: number;
}

/** Energies of the bus capacitors [J]: at first, at most, and below which the drives give up. */
export interface Store {
  readonly start: number;
  readonly most: number;
  readonly least: number;
}

/** Least energy until an end [J], and when there is first too little [s]; Infinity: never. */
export interface Emptying {
  readonly lowest: number;
  readonly lost: number;
}

/** Energy taken until a time [J]. */
export function takenAt({ times, taken, after }: Course, time: number): number {
  const end = times.at(-1) ?? 0;
  if (time >= end) return (taken.at(-1) ?? 0) + after * (time - end);
  const row = rowBefore(times, time);
  const [t0 = 0, t1 = 0, e0 = 0, e1 = 0] = [times[row], times[row + 1], taken[row], taken[row + 1]];
  return e0 + ((e1 - e0) * (time - t0)) / (t1 - t0);
}

/** The last of rising times that is not later than one before the end. */
function rowBefore(times: readonly number[], time: number): number {
  let [low, high] = [0, times.length - 1];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((times[middle] ?? 0) <= time) low = middle;
    else high = middle;
  }
  return low;
}

/**
 * Steps capacitors through what axes take and give back, from one of their times to the next; where the end is never, until
 * nothing changes any more, and then on with the watts that are left.
 *
 * @param watts - drawn besides all the time [W]
 */
export function emptied(
  courses: readonly Course[],
  { start, most, least }: Store,
  { end, watts }: { readonly end: number; readonly watts: number },
): Emptying {
  const times = [...new Set([...courses.flatMap((course) => course.times), Math.min(end, Number.MAX_VALUE)])]
    .filter((t) => t <= end && t < Number.MAX_VALUE)
    .toSorted((a, b) => a - b);
  let [held, lowest, lost, now, gone] = [start, start, Infinity, 0, 0];
  for (const time of times) {
    const sum = courses.reduce((total, course) => total + takenAt(course, time), watts * time);
    const taken = sum - gone;
    if (lost === Infinity && held - taken < least) lost = now + ((time - now) * (held - least)) / taken;
    held = Math.min(most, held - taken);
    lowest = Math.min(lowest, held);
    [now, gone] = [time, sum];
  }
  if (end < Infinity) return { lowest, lost };
  const left = courses.reduce((total, { after }) => total + after, watts);
  if (left <= 0) return { lowest, lost };
  return { lowest: -Infinity, lost: lost < Infinity ? lost : now + Math.max(0, held - least) / left };
}
