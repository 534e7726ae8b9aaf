import type { Fault } from "../faults/fault.ts";
import type { DefaultUsed } from "../machine/problem.ts";
import type { Caution } from "../machine/result.ts";
import type { CatalogueReading } from "./catalogue-reading.ts";
import { type CatalogueFolder, type CataloguesRead, readCatalogues } from "./read-catalogues.ts";

/** Catalogue folders as read, with what was noticed on the way. */
export interface CataloguesKnown {
  readonly read: CataloguesRead;
  readonly faults: readonly Fault[];
  readonly cautions: readonly Caution[];
  readonly defaults: readonly DefaultUsed[];
}

/** Where the parts in these folders come from, priced in this currency. */
export type CatalogueSource = (folders: readonly CatalogueFolder[], currency: string) => Promise<CataloguesKnown>;

/** Reads folders from disk every time. */
export function catalogueSource(tools: Pick<CatalogueReading, "units" | "checkAbout">): CatalogueSource {
  return async (folders, currency) => {
    const shelf: CatalogueReading = { ...tools, faults: [], cautions: [], defaults: new Map() };
    const read = await readCatalogues(shelf, folders, currency);
    return { read, faults: shelf.faults, cautions: shelf.cautions, defaults: [...shelf.defaults.values()] };
  };
}

/** Reads each list of folders once; what was read counts as unchanged from then on. */
export function rememberedCatalogues(source: CatalogueSource): CatalogueSource {
  const known = new Map<string, Promise<CataloguesKnown>>();
  return async (folders, currency) => {
    const key = JSON.stringify([folders, currency]);
    const read = known.get(key) ?? source(folders, currency);
    known.set(key, read);
    return read;
  };
}
