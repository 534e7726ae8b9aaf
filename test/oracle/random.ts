/** A repeatable stream of random choices. Source: mulberry32, public domain, from memory. */
export class Dice {
  private state: number;
  constructor(seed: number) {
    this.state = (seed * 2654435761) >>> 0;
    for (let k = 0; k < 4; k++) this.unit();
  }
  /** 0 to below 1. */
  unit(): number {
    this.state = (this.state + 0x6d2b79f5) >>> 0;
    let t = this.state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  }
  between(low: number, high: number): number {
    return low + (high - low) * this.unit();
  }
  /** Even on a logarithmic scale. */
  spread(low: number, high: number): number {
    return low * (high / low) ** this.unit();
  }
  whole(low: number, high: number): number {
    return low + Math.floor(this.unit() * (high - low + 1));
  }
  chance(share: number): boolean {
    return this.unit() < share;
  }
  of<T>(list: readonly T[]): T {
    const found = list[Math.floor(this.unit() * list.length)];
    if (found === undefined) throw new RangeError("nothing to choose from");
    return found;
  }
  /** A value some of the time. */
  maybe<T>(share: number, make: () => T): T | undefined {
    return this.chance(share) ? make() : undefined;
  }
}

/** To three digits, as a catalogue would print it. */
export function rounded(value: number): number {
  return Number(value.toPrecision(3));
}
