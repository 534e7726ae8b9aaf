import { FACTORIALS } from "./published-factorial.ts";
import { oneFactor, regression } from "./published-regression.ts";
import type { Published } from "./published-row.ts";
import { SURFACE_ROWS } from "./published-surfaces.ts";

/** Every published data set, and to how many digits its figures are reproduced. */
export const PUBLISHED: readonly Published[] = [
  ...regression("Norris", { B: 13, rest: 13 }),
  ...regression("Pontius", { B: 13, rest: 13 }),
  ...regression("NoInt1", { B: 14, rest: 14 }),
  ...regression("Longley", { B: 14, rest: 14 }),
  ...regression("Wampler1", { B: 13, rest: 14 }),
  ...regression("Wampler2", { B: 12.5, rest: 14 }),
  ...regression("Wampler3", { B: 13, rest: 13 }),
  ...oneFactor("SiRstv", 12.5),
  ...oneFactor("SmLs01", 13),
  ...oneFactor("SmLs04", 10),
  ...oneFactor("AtmWtAg", 10),
  ...FACTORIALS,
  ...SURFACE_ROWS,
];
