import { type ResistorSpec, resistorRows } from "../../catalogs/make/passives.ts";
import { type Row, rounded } from "../../catalogs/make/sheet.ts";
import { type SupplySeries, supplyRows } from "../../catalogs/make/supplies.ts";

/** Continuous powers between which supplies are on offer [W], and whether 48 V ones are among them. */
export interface PowerRange {
  readonly least: number;
  readonly most: number;
  /** Largest continuous power on 48 V [W]; 0: none. */
  readonly low: number;
}

/** What drives and supplies of 48 V have in common. */
export const LOW_FAMILY = "low-48";

/** Volts at which the choppers of 400 V supplies open. */
const CHOPPER = 780;

/** Values of series E6, one decade. Source: IEC 60063. */
const E6 = [1, 1.5, 2.2, 3.3, 4.7, 6.8];

/** Least ratio of one power to the next: below it, prices and rounded widths would not follow power. */
const STEP = 1.5;

/** Smallest power of single-phase supplies [W]. */
const SINGLE_PHASE = 750;

/**
 * So many supplies of a maker. A sixth feeds back, where there are six; what finds no place in the range is for
 * single-phase mains, which fits no synthetic order, as in real catalogues.
 */
export function suppliesOf(code: string, count: number, { least, most, low }: PowerRange): Row[] {
  const small = low > 0 ? Math.max(1, Math.floor(count / 4)) : 0;
  const back = Math.min(2, Math.floor((count - small) / 6));
  const main = Math.min(count - small - back, Math.max(1, Math.floor(Math.log(most / least) / Math.log(STEP))));
  const series = (bus: SupplySeries["bus"], powers: readonly number[], feedsBack = false): Row[] =>
    supplyRows({
      prefix: `${code}U-`,
      bus,
      phases: bus === "230 V" ? 1 : 3,
      powers,
      feedsBack,
      priceFactor: 1,
      ...(bus === "48 V" ? { family: LOW_FAMILY } : {}),
    });
  const others = Array.from({ length: count - small - back - main }, (_, at) => rounded(SINGLE_PHASE * STEP ** at, 2));
  return [
    ...series("400 V", between(least, most, main)),
    ...series("400 V", between(Math.sqrt(least * most), most, back), true),
    ...series("48 V", between(low / 3, low, small)),
    ...series("230 V", others),
  ];
}

/** So many powers [W] at equal ratios, the largest of them `most`. */
function between(least: number, most: number, count: number): number[] {
  return Array.from({ length: count }, (_, at) => rounded(most * (least / most) ** (1 - (at + 1) / count), 2));
}

/** Resistors for the supplies of the range, from the smallest that the largest supply can drive upwards. */
export function resistorsFor(code: string, count: number, { most }: PowerRange): Row[] {
  const smallest = CHOPPER ** 2 / (1.45 * 2 * most);
  const preferred = [-1, 0, 1, 2, 3].flatMap((decade) => E6.map((value) => rounded(value * 10 ** decade, 2)));
  const specs = preferred
    .filter((resistance) => resistance > 1.1 * smallest)
    .slice(0, count)
    .map((resistance): ResistorSpec => [resistance, rounded((0.035 * CHOPPER ** 2) / resistance, 2), CHOPPER]);
  return resistorRows(`${code}R-`, specs);
}
