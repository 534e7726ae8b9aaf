import type { NamedChart } from "../charts/draw-charts.ts";
import { ratioCostsOption } from "../charts/ratio-costs.ts";
import { ratioCurvesOption } from "../charts/ratio-curves.ts";
import type { MotorRatios, RatioRange, RatiosDocument } from "../machine/ratios.ts";
import { figure } from "../report/figures.ts";
import { LIMIT_WORDS } from "../report/limit-words.ts";
import { shownPicks } from "../report/ratio-table.ts";

/**
 * The charts of a look at gear ratios: for each motor its limits over the ratio, then price and energy of all of them.
 *
 * @returns charts named after their motor, but one named `costs`; a motor that turns too fast at any ratio has no curves
 */
export function ratiosCharts(doc: RatiosDocument): readonly NamedChart[] {
  const curves = doc.motors.flatMap((motor) => (motor.range === null ? [] : [curvesChart(doc, motor, motor.range)]));
  return doc.motors.some(({ gearboxes }) => gearboxes.length > 0) ? [...curves, costsChart(doc)] : curves;
}

/** From here on ratios are drawn to equal factors. */
const WIDE = 10;

function curvesChart({ axis, title }: RatiosDocument, motor: MotorRatios, range: RatioRange): NamedChart {
  const { curve, windows, gearboxes, drive, least_heat: coolest, inertia_matched: matched } = motor;
  const isSeen = (ratio: number): boolean => ratio >= range.from && ratio <= range.to;
  const beyond = [
    ...(coolest === null || isSeen(coolest.ratio) ? [] : [`least heat at ${figure(coolest.ratio)}`]),
    ...(matched === null || isSeen(matched) ? [] : [`inertia matched at ${figure(matched)}`]),
  ];
  const bought = gearboxes.flatMap(({ gearbox, ratio }) => (gearbox === null ? [] : [ratio]));
  const option = ratioCurvesOption({
    title: `${motor.motor} on ${axis}: what each ratio uses of its limits`,
    note: [`${title}; with drive ${drive} and the median gearbox`, ...beyond].join("; "),
    curves: curve.limits.map(({ id, utilisation }) => ({
      name: LIMIT_WORDS[id],
      points: curve.ratio.map((ratio, k) => ({ ratio, utilisation: utilisation[k] ?? null })),
    })),
    windows: windows.map(({ from, to }) => ({ from: from.ratio, to: to.ratio })),
    catalogue: [...new Set(bought)],
    ...(matched !== null && isSeen(matched) ? { inertiaMatched: matched } : {}),
    ...(coolest !== null && isSeen(coolest.ratio) ? { leastHeat: coolest.ratio } : {}),
    logarithmic: range.to >= WIDE * range.from,
  });
  return { name: motor.motor, option };
}

function costsChart(doc: RatiosDocument): NamedChart {
  const { currency, energy_years: years, axis } = doc;
  const option = ratioCostsOption({
    title: `What the ratios of ${axis} cost`,
    note: "the cheapest gearbox that works at each ratio, and the nearest that does not; motor, gearbox and drive share",
    price: `price [${currency}]`,
    ...(years > 0 ? { energy: "energy [kWh/a]" } : {}),
    motors: doc.motors.map((motor) => ({
      name: motor.motor,
      picks: shownPicks(motor).map(({ ratio, price, energy, passes }) => ({ ratio, price, energy, passes })),
    })),
  });
  return { name: "costs", option };
}
