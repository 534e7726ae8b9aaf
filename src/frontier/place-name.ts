import type { Setup } from "../decide/setup.ts";
import type { Machine } from "../machine/problem.ts";

/** An axis or bus as the order's parts list names it: with its machine where there are several. */
export function placeName({ machines }: Setup, { id }: Machine, own: string): string {
  return machines.length > 1 ? `${id}/${own}` : own;
}
