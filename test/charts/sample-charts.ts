import type { ChartOption } from "../../src/charts/chart-option.ts";
import { effectsBarsOption } from "../../src/charts/effects-bars.ts";
import { predictedObservedOption, residualsOption } from "../../src/charts/fit-plots.ts";
import { flipMapOption } from "../../src/charts/flip-map.ts";
import { frontierStepsOption } from "../../src/charts/frontier-steps.ts";
import { halfNormalOption } from "../../src/charts/half-normal.ts";
import { interactionLinesOption } from "../../src/charts/interaction-lines.ts";
import { mainEffectsOption } from "../../src/charts/main-effects.ts";
import { paretoOption } from "../../src/charts/pareto.ts";
import { partTableOption } from "../../src/charts/part-table.ts";
import { ratioCostsOption } from "../../src/charts/ratio-costs.ts";
import { ratioCurvesOption } from "../../src/charts/ratio-curves.ts";
import { responseSurfaceOption } from "../../src/charts/response-surface.ts";
import { robustnessBarsOption } from "../../src/charts/robustness-bars.ts";
import { sobolBarsOption } from "../../src/charts/sobol-bars.ts";

const estimate = (value: number, half: number) => ({ value, low: value - half, high: value + half });

/** Evenly spaced numbers, both ends included. */
export function spaced(from: number, to: number, count: number): number[] {
  return Array.from({ length: count }, (_, k) => from + ((to - from) * k) / (count - 1));
}

export const EFFECTS = [-1840, 1260, 640, -420, 310, 88, -60, 42];
const NAMES = ["cycle time", "payload", "incline", "cycle × payload", "lift mass", "efficiency", "ambient", "price"];

/** Cost over cycle time and payload: least at 3.3 s and 13 kg. */
const surface = (x: number, y: number): number => 24_000 + 3000 * (x - 3.3) ** 2 + 12 * (y - 13) ** 2;

const motorAt = (x: number, y: number): string | null => {
  const load = y / x;
  if (load > 9) return null;
  return load > 6 ? "M80-3" : load > 4 ? "M80-2B" : "M60-4";
};

export const UTILISATION: Readonly<Record<string, (ratio: number) => number>> = {
  "motor speed": (ratio) => ratio / 22,
  "inertia ratio": (ratio) => 60 / ratio ** 2,
  backlash: () => 0.3,
};

/**
 * One chart of each kind, with invented figures.
 *
 * @param text - what stands in place of every text of the user
 */
export function sampleCharts(text: (plain: string) => string = (plain) => plain): Record<string, ChartOption> {
  const heading = { title: text("Sample"), note: text("invented figures") };
  const names = NAMES.map(text);
  const [xs, ys] = [spaced(2.4, 4, 9), spaced(5, 25, 6)];
  const ratios = spaced(2, 50, 97);
  return {
    effects: effectsBarsOption({
      ...heading,
      quantity: text("effect on cost [EUR]"),
      effects: names.map((name, k) => ({ name, value: EFFECTS[k] ?? 0 })).toReversed(),
      limits: [
        { name: "ME", value: 250 },
        { name: "SME", value: 520 },
      ],
    }),
    "half-normal": halfNormalOption({
      ...heading,
      quantity: text("size of effect on cost [EUR]"),
      slope: 97,
      effects: names.map((name, k) => ({
        name,
        size: Math.abs(EFFECTS[k] ?? 0),
        score: 2 - 0.25 * k,
        active: Math.abs(EFFECTS[k] ?? 0) > 400,
      })),
    }),
    "main-effects": mainEffectsOption({
      ...heading,
      response: text("mean cost [EUR]"),
      factors: names.slice(0, 7).map((name, k) => ({
        name,
        levels: ["low", "middle", "high"].map((level, i) => ({ name: text(level), mean: 24_000 + (k - 3) * i * 150 })),
      })),
    }),
    interaction: interactionLinesOption({
      ...heading,
      response: text("mean cost [EUR]"),
      factor: { name: text("cycle time"), levels: ["2.8 s", "3.2 s", "3.6 s"].map(text) },
      other: { name: text("payload"), levels: ["8 kg", "14 kg"].map(text) },
      means: [
        [24_900, 24_500, 24_100],
        [null, 25_900, 24_300],
      ],
    }),
    surface: responseSurfaceOption({
      ...heading,
      response: text("cost [EUR]"),
      x: { name: text("cycle time [s]"), values: xs },
      y: { name: text("payload [kg]"), values: ys },
      values: ys.map((y) => xs.map((x) => (x > 3.9 && y > 24 ? null : surface(x, y)))),
      observed: [
        { x: 2.6, y: 8 },
        { x: 3.8, y: 22 },
      ],
      stationary: { x: 3.3, y: 13, kind: text("minimum") },
    }),
    flip: flipMapOption({
      ...heading,
      picked: text("motor of the lift"),
      x: { name: text("cycle time [s]"), values: xs },
      y: { name: text("payload [kg]"), values: ys },
      picks: ys.map((y) =>
        xs.map((x) => {
          const motor = motorAt(x, y);
          return motor === null ? null : text(motor);
        }),
      ),
    }),
    pareto: paretoOption({
      ...heading,
      x: { name: text("cost [EUR]"), better: "low" },
      y: { name: text("mass [kg]"), better: "low" },
      points: [
        { x: 24_978, y: 61, label: text("run 4"), front: true },
        { x: 25_600, y: 52, label: text("run 9"), front: true },
        { x: 26_900, y: 44, label: text("run 12"), front: true },
        { x: 26_000, y: 60, label: text("run 13"), front: false },
      ],
    }),
    frontier: frontierStepsOption({
      ...heading,
      cost: text("cost [EUR]"),
      counted: text("distinct motors, at most"),
      points: [
        { count: 1, cost: null },
        { count: 2, cost: 27_350, part: 26_100, change: text("one frame for all") },
        { count: 3, cost: 25_480, part: 24_220, change: text("M60-4 for M80-3 on traverse") },
        { count: 5, cost: 24_978, part: 23_500, bound: 24_700, change: text("S40-1 on gripper") },
      ],
      lines: { cost: text("cost of the order"), part: text("without variety") },
    }),
    table: partTableOption({
      ...heading,
      value: text("cost [EUR]"),
      columns: { name: text("distinct motors"), levels: ["1", "2", "3"].map(text) },
      rows: { name: text("distinct gearboxes"), levels: ["1", "2"].map(text) },
      cells: [
        [null, 29_900, 28_700],
        [31_200, 27_350, 25_480],
      ],
    }),
    ratios: ratioCurvesOption({
      ...heading,
      curves: Object.entries(UTILISATION).map(([name, utilisation]) => ({
        name: text(name),
        points: ratios.map((ratio) => ({ ratio, utilisation: utilisation(ratio) })),
      })),
      windows: [{ from: 7.75, to: 22 }],
      catalogue: [3, 5, 10, 20, 50],
      inertiaMatched: 15.5,
      leastHeat: 13.5,
    }),
    "ratio-costs": ratioCostsOption({
      ...heading,
      price: text("price [EUR]"),
      energy: text("energy [kWh/a]"),
      motors: ["M60-4", "M80-3"].map((motor, k) => ({
        name: text(motor),
        picks: [3, 5, 10].map((ratio) => ({
          ratio,
          price: 700 + 100 * k + 8 * ratio,
          energy: 300 - 20 * k + (ratio - 5) ** 2,
          passes: ratio > 3,
        })),
      })),
    }),
    sobol: sobolBarsOption({
      ...heading,
      indices: [0.05, 0.52, 0.21, -0.004].map((value, k) => ({
        name: names[k] ?? "",
        first: estimate(value, 0.03),
        total: estimate(value + 0.06, 0.04),
      })),
    }),
    robustness: robustnessBarsOption({
      ...heading,
      picks: [3, 100, 61].map((held, k) => ({
        name: names[k] ?? "",
        held,
        runs: 100,
        share: { value: held / 100, low: Math.max(0, held / 100 - 0.07), high: Math.min(1, held / 100 + 0.05) },
      })),
    }),
    predicted: predictedObservedOption({
      ...heading,
      response: text("cost [EUR]"),
      points: spaced(24_000, 28_000, 9).map((observed, k) => ({
        observed,
        predicted: observed + (k % 2 === 0 ? 150 : -220),
        label: k === 4 ? text("run 5") : "",
      })),
    }),
    residuals: residualsOption({
      ...heading,
      along: text("predicted cost [EUR]"),
      residual: text("studentised residual"),
      limit: 2,
      points: spaced(24_000, 28_000, 9).map((x, k) => ({
        x,
        y: k === 4 ? 2.9 : (k % 3) - 1.2,
        label: text(`run ${k}`),
      })),
    }),
  };
}
