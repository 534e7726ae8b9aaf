import { withDistinctPrices } from "./distinct-prices.ts";
import { makerFiles } from "./maker.ts";
import { dunmarrow } from "./makers/dunmarrow.ts";
import { plimwickel } from "./makers/plimwickel.ts";
import { zefferlode } from "./makers/zefferlode.ts";

/** Every file of the demonstration catalogues, by path below catalogs/. All of it is invented. */
export function makeCatalogs(): Map<string, string> {
  return new Map(withDistinctPrices([dunmarrow(), plimwickel(), zefferlode()]).flatMap(makerFiles));
}
