import type { Ascent } from "./ascent.ts";
import type { Core } from "./core.ts";
import type { CountedPart } from "./counted-part.ts";
import type { Domain } from "./domain.ts";
import type { Decision } from "./outcome.ts";
import { unitsIn } from "./unit-range.ts";

/** A border of units and what the relaxation saves at most by blending counts on either side of it. */
interface Border {
  readonly part: number;
  readonly units: number;
  readonly gain: number;
}

/**
 * Splits at the counts where prices change, those first at which the relaxation has most to gain from blending: it pays
 * for some units what only more of them would cost.
 */
export function unitPairs(core: Core, domain: Domain, ascent: Ascent): [Decision, Decision][] {
  const borders = core.counted.flatMap((counted, part) =>
    counted === undefined || !counted.isExact || domain.use[part] === 0
      ? []
      : bordersOf(core, domain, { part, counted, expected: expectedUnits(core, domain, ascent, { part, counted }) }),
  );
  return borders
    .filter(({ gain }) => gain > 0)
    .toSorted((a, b) => b.gain - a.gain || a.part - b.part)
    .map(({ part, units }) => [
      { kind: "units", part, units, isUsed: true },
      { kind: "units", part, units, isUsed: false },
    ]);
}

interface Blend {
  readonly part: number;
  readonly counted: CountedPart;
  /** Units that the relaxation buys on average, in steps of the part's `unit`. */
  readonly expected: number;
}

function bordersOf(core: Core, domain: Domain, { part, counted, expected }: Blend): Border[] {
  const [forced, possible] = unitsIn(core, domain, part, counted);
  const least = Math.max(forced, domain.leastUnits[part]!);
  const most = Math.min(possible, domain.mostUnits[part]!);
  const { steps } = core.model.parts[part]!;
  return steps.flatMap(({ from, price }, at) => {
    const before = steps[at - 1];
    const border = Math.ceil(from / counted.unit);
    if (before === undefined || border <= least || border > most || border < 2) return [];
    const nearness = Math.max(0, 1 - Math.abs(expected - border) / border);
    return [{ part, units: from, gain: Math.abs(before.price - price) * from * nearness }];
  });
}

function expectedUnits(
  core: Core,
  domain: Domain,
  { linkShare }: Ascent,
  { part, counted: { pools, uses, channels } }: { readonly part: number; readonly counted: CountedPart },
): number {
  const shares = Array.from(core.partLinks[part]!, (link) => (domain.linkCount[link]! > 0 ? linkShare[link]! : 0));
  return pools.reduce(
    (sum, { units }, at) => sum + (units * uses.reduce((all, own, l) => all + own[at]! * shares[l]!, 0)) / channels,
    0,
  );
}
