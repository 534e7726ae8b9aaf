import type { NamedChart } from "../../charts/draw-charts.ts";
import { responseSurfaceOption, type SurfaceData } from "../../charts/response-surface.ts";
import { heightAt } from "../analysis/second-order.ts";
import { codedValue, type Factor, levelAt, spread } from "../plan/factor.ts";
import type { ResponseEntry } from "./document.ts";
import { labelOf } from "./level-labels.ts";
import type { SurfaceAnalysis } from "./number-analysis.ts";
import { quantityOf } from "./quantity.ts";
import type { Snaked } from "./snake-case.ts";
import type { ChartFacts } from "./study-charts.ts";

type NumberEntry = Extract<ResponseEntry, { kind: "number" }>;

/** Values of each factor at which a surface is drawn: enough for borders of shades to look like lines. */
const STEPS = 61;

/** The fitted surface over the two factors that bend or slope it most, others in the middle. */
export function surfaceChart({ study, points }: ChartFacts, entry: NumberEntry): readonly NamedChart[] {
  const surface = entry.model?.surface;
  if (surface === undefined || "absent" in surface) return [];
  const [x, y] = steepest(surface, study.factors);
  if (x === undefined || y === undefined) return [];
  const { axes } = surface;
  const codes = Array.from({ length: STEPS }, (_, k) => (2 * k) / (STEPS - 1) - 1);
  const values = codes.map((b) =>
    codes.map((a) => heightAt(surface, midpointWith(axes.length, [x.place, a], [y.place, b]))),
  );
  const observed = points.map((point) => ({ x: observedAt(x, point), y: observedAt(y, point) }));
  const response = quantityOf(entry);
  const others = axes.filter(({ id }) => id !== x.factor.id && id !== y.factor.id).map(({ id }) => middleOf(study, id));
  const option = responseSurfaceOption({
    title: `${response} over ${x.factor.id} and ${y.factor.id}, as modelled`,
    ...(others.length === 0 ? {} : { note: others.join(", ") }),
    response,
    x: axisOf(x.factor, codes),
    y: axisOf(y.factor, codes),
    values,
    observed,
    ...levelPoint(surface, x, y),
  });
  return [{ name: "surface", option }];
}

/** Where a factor stands that is not drawn: `lift-mass at 7.5 kg`. */
function middleOf(study: ChartFacts["study"], id: string): string {
  const isRange = study.factors.some((factor) => factor.id === id && factor.scale.kind === "range");
  return isRange ? `${id} at ${labelOf(study, id, 0)}` : `${id} in the middle`;
}

/** A factor of the study with its place among the axes of the surface, and among the factors. */
interface DrawnAxis {
  readonly factor: Factor;
  readonly place: number;
  readonly coordinate: number;
}

function steepest({ axes, slopes, bends }: Snaked<SurfaceAnalysis>, factors: readonly Factor[]): readonly DrawnAxis[] {
  const weight = (k: number): number =>
    Math.abs(slopes[k] ?? 0) + (bends[k] ?? []).reduce((sum, bend) => sum + Math.abs(bend), 0);
  const drawn = axes.flatMap(({ id }, place) => {
    const coordinate = factors.findIndex((factor) => factor.id === id);
    const factor = factors[coordinate];
    return factor === undefined ? [] : [{ factor, place, coordinate }];
  });
  return drawn.toSorted((a, b) => weight(b.place) - weight(a.place)).slice(0, 2);
}

function midpointWith(length: number, ...set: readonly (readonly [number, number])[]): number[] {
  const point = Array.from({ length }, () => 0);
  for (const [place, value] of set) point[place] = value;
  return point;
}

function levelPoint(
  { canonical: { stationary, kind } }: Snaked<SurfaceAnalysis>,
  x: DrawnAxis,
  y: DrawnAxis,
): Pick<SurfaceData, "stationary"> {
  if ("absent" in stationary || !stationary.is_inside) return {};
  const at = ({ factor, place }: DrawnAxis): number => numberAt(factor, stationary.coded[place] ?? 0);
  return { stationary: { x: at(x), y: at(y), kind } };
}

function axisOf(
  factor: Factor,
  codes: readonly number[],
): { readonly name: string; readonly values: readonly number[]; readonly logarithmic: boolean } {
  const { scale } = factor;
  return {
    name: quantityOf(factor),
    values: codes.map((code) => numberAt(factor, code)),
    logarithmic: scale.kind === "range" && scale.isLog,
  };
}

/** The number at a code from −1 to 1; whole numbers are not rounded, so that a surface has no steps. */
function numberAt({ scale }: Factor, code: number): number {
  if (scale.kind === "range") return spread(scale, code);
  const numbers = scale.levels.map(({ number }, index) => number ?? index);
  return spread({ low: Math.min(...numbers), high: Math.max(...numbers), isLog: false }, code);
}

function observedAt({ factor, coordinate }: DrawnAxis, point: readonly number[]): number {
  const at = point[coordinate] ?? 0;
  return numberAt(factor, codedValue(factor, at, levelAt(factor, at)));
}
