import type { Fault } from "../faults/fault.ts";
import type { DefaultUsed } from "../machine/problem.ts";
import type { Caution } from "../machine/result.ts";
import type { UnitReader } from "../units/load-units.ts";
import type { SchemaCheck } from "./schema-faults.ts";

/** What reading the catalogues needs and collects. */
export interface CatalogueReading {
  readonly units: UnitReader;
  /** Checks a catalog.json. */
  readonly checkAbout: SchemaCheck;
  readonly faults: Fault[];
  readonly cautions: Caution[];
  /** By `at`, in the order of first use. */
  readonly defaults: Map<string, DefaultUsed>;
}

/** Counts one more use of a column's default. */
export function countDefault(reading: CatalogueReading, at: string, value: string): void {
  const key = `${at} = ${value}`;
  const count = (reading.defaults.get(key)?.count ?? 0) + 1;
  reading.defaults.set(key, { at, value, count });
}
