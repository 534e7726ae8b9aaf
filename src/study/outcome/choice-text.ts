import { counted, figure, percent } from "../../report/figures.ts";
import { listed, printable, wrap } from "../../report/layout.ts";
import { isKnown } from "../analysis/remark.ts";
import type { ResponseEntry } from "./document.ts";

type ChoiceEntry = Extract<ResponseEntry, { kind: "choice" }>;

const PLAIN = { first: 2, rest: 4 };
const MOST_PICKS = 8;

/** What was chosen how often, and which factor the choice hangs on. */
export function choiceLines({ shares, associations, map }: ChoiceEntry): string[] {
  const named = shares
    .slice(0, MOST_PICKS)
    .map(({ pick, count, share }) => `${printable(pick)} in ${counted(count, "run")} (${percent(share)})`);
  const rest = shares.length - named.length;
  const all = rest > 0 ? [...named, counted(rest, "other")] : named;
  const first =
    shares.length === 1 ? `${printable(shares[0]?.pick ?? "")} in every run with an answer.` : `${listed(all)}.`;
  return [...wrap(first, PLAIN), ...(shares.length < 2 ? [] : [...associationLines(associations), ...mapLines(map)])];
}

function associationLines(associations: ChoiceEntry["associations"]): string[] {
  const rows = associations
    .toSorted((a, b) => strengthOf(b) - strengthOf(a))
    .map(({ factor, cramers_v, flip_share }) => {
      const flips = isKnown(flip_share) ? `, flips in ${percent(flip_share)} of the steps of this factor alone` : "";
      const strength = isKnown(cramers_v) ? figure(cramers_v, 2) : "unknown";
      return `${printable(factor)} ${strength}${flips}`;
    });
  const scale = "Cramer's V less chance, 0 to 1";
  return wrap(`How much the choice hangs on each factor (${scale}): ${rows.join("; ")}.`, PLAIN);
}

function strengthOf({ cramers_v }: ChoiceEntry["associations"][number]): number {
  return isKnown(cramers_v) ? cramers_v : 0;
}

function mapLines(map: ChoiceEntry["map"]): string[] {
  if (map === null) return [];
  const words = `Over ${printable(map.column)} and ${printable(map.row)} there are ${counted(map.regions.length, "region")} with ${counted(map.flips.length, "border")} between neighbouring points.`;
  return wrap(words, PLAIN);
}
