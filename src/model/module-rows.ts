import type { Drive } from "../machine/catalogue.ts";

/** A machine as far as its modules go. */
interface SharingAxes {
  readonly axes: readonly { readonly bus: number; readonly columns: readonly { readonly drive: Channels }[] }[];
  readonly buses: readonly unknown[];
}

type Channels = Pick<Drive, "channels">;

/**
 * What the drive modules of a bus come to at least, however its axes share them:
 *
 * Σ shared modules + Σ single drives · `single` + Σ kinds of single drives used · `kind` ≥ `count`
 */
export interface LeastModules {
  readonly bus: number;
  readonly count: number;
  readonly single: number;
  readonly kind: number;
}

/**
 * Rows that hold in every answer because modules are whole, and not in the relaxation, which buys a share of a module
 * for a channel that stays free. With n = q·c + r axes (0 < r < c), c channels at the most and k single drives, there
 * are at least ⌈(n − k)/c⌉ shared modules, which is q + 1 − (1 − r/c)·[k ≥ 1] − k/c or more.
 *
 * Kinds without a charge of their own are not told apart: each pick then counts as a kind of its own, which is never less.
 *
 * Source: mixed-integer rounding, L. A. Wolsey, Integer Programming (Wiley 1998), section 8.7 (from memory); applied here.
 */
export function leastModules(
  { axes, buses }: SharingAxes,
  { drive: charge }: { readonly drive: number },
): LeastModules[] {
  return buses.flatMap((_, bus) => {
    const own = axes.filter((axis) => axis.bus === bus);
    const channels = own.reduce((most, { columns }) => Math.max(most, mostChannels(columns)), 1);
    const rest = own.length % channels;
    if (rest === 0) return [];
    const count = Math.ceil(own.length / channels);
    const [single, kind] = [1 / channels, 1 - rest / channels];
    return [charge > 0 ? { bus, count, single, kind } : { bus, count, single: single + kind, kind: 0 }];
  });
}

function mostChannels(columns: readonly { readonly drive: Channels }[]): number {
  return columns.reduce((most, { drive }) => Math.max(most, drive.channels), 1);
}

/** What a drive counts in the row each time it is picked; shared ones count by module. */
export function moduleShare({ single }: LeastModules, { channels }: Channels): number {
  return channels > 1 ? 0 : single;
}

/** Id of the row that counts the modules of a bus. */
export function leastModulesId(machine: string, bus: string): string {
  return `modules/${machine}/${bus}`;
}
