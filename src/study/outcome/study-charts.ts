import type { NamedChart } from "../../charts/draw-charts.ts";
import { effectsBarsOption } from "../../charts/effects-bars.ts";
import { predictedObservedOption, residualsOption } from "../../charts/fit-plots.ts";
import { flipMapOption } from "../../charts/flip-map.ts";
import { halfNormalOption } from "../../charts/half-normal.ts";
import { interactionLinesOption } from "../../charts/interaction-lines.ts";
import { mainEffectsOption } from "../../charts/main-effects.ts";
import { paretoOption } from "../../charts/pareto.ts";
import { robustnessBarsOption } from "../../charts/robustness-bars.ts";
import { sobolBarsOption } from "../../charts/sobol-bars.ts";
import { interactionTable } from "../analysis/level-means.ts";
import { isKnown } from "../analysis/remark.ts";
import type { Study } from "../plan/study.ts";
import { codedRuns, pointMeans } from "./coded-runs.ts";
import type { ResponseEntry, StudyDocument } from "./document.ts";
import { labelOf, labelsAt } from "./level-labels.ts";
import { quantityOf } from "./quantity.ts";
import type { StudyRow } from "./rows.ts";
import { surfaceChart } from "./surface-chart.ts";

/** What charts are drawn from. */
export interface ChartFacts {
  readonly document: StudyDocument;
  readonly study: Study;
  readonly rows: readonly StudyRow[];
  /** Points of the design, coordinate by coordinate. */
  readonly points: readonly (readonly number[])[];
}

type NumberEntry = Extract<ResponseEntry, { kind: "number" }>;
type ChoiceEntry = Extract<ResponseEntry, { kind: "choice" }>;

/** Every chart that the results of a study give, response by response. */
export function studyCharts(facts: ChartFacts): readonly NamedChart[] {
  const { document } = facts;
  return [
    ...document.responses.flatMap((entry, index) => responseCharts(facts, entry, index)),
    ...frontChart(facts),
    ...robustnessChart(facts),
  ];
}

function responseCharts(facts: ChartFacts, entry: ResponseEntry, index: number): readonly NamedChart[] {
  if (entry.kind === "nothing") return [];
  const charts = entry.kind === "choice" ? choiceCharts(facts, entry) : numberCharts(facts, entry, index);
  return charts.map(({ name, option }) => ({ name: `${entry.id}-${name}`, option }));
}

function numberCharts(facts: ChartFacts, entry: NumberEntry, index: number): readonly NamedChart[] {
  return [
    ...effectCharts(entry),
    ...meanCharts(facts, entry, index),
    ...(entry.model === null || entry.effects !== null ? [] : fitCharts(entry, entry.model)),
    ...surfaceChart(facts, entry),
    ...indexChart(entry),
  ];
}

function effectCharts(entry: NumberEntry): readonly NamedChart[] {
  if (entry.effects === null || entry.effects.effects.length === 0) return [];
  const { effects, lenth, half_normal } = entry.effects;
  const likely = new Set("absent" in lenth ? [] : lenth.likely);
  const limits =
    "absent" in lenth
      ? []
      : [
          { name: "ME", value: lenth.margin_of_error },
          { name: "SME", value: lenth.simultaneous_margin },
        ];
  const quantity = `effect on ${quantityOf(entry)}`;
  const bars = effectsBarsOption({
    title: `Effects on ${entry.id}`,
    note: "from the low to the high end of each factor; beyond ME, and surely beyond SME, it stands out from the rest",
    quantity,
    effects,
    limits,
  });
  const points = half_normal.map((point) => ({ ...point, active: likely.has(point.name) }));
  const slope = "absent" in lenth ? {} : { slope: lenth.pse };
  const plot = halfNormalOption({
    title: `Effects on ${entry.id} against chance`,
    note: "effects of nothing lie about the dashed line; what stands out from it is named",
    quantity: `size of ${quantity}`,
    effects: points,
    ...slope,
  });
  return [
    { name: "effects", option: bars },
    { name: "half-normal", option: plot },
  ];
}

function meanCharts({ study, rows, points }: ChartFacts, entry: NumberEntry, index: number): readonly NamedChart[] {
  const factors = entry.means.flatMap(({ factor, levels }) => {
    const known = levels.flatMap(({ level, mean }) =>
      isKnown(mean) ? [{ name: labelOf(study, factor, level), mean }] : [],
    );
    return known.length < 2 ? [] : [{ name: factor, levels: known }];
  });
  if (factors.length === 0) return [];
  const response = `mean ${quantityOf(entry)}`;
  const main = mainEffectsOption({
    title: `Mean of ${entry.id} at each level`,
    note: "a steep line is a factor that matters; dotted: half-way between the highest and the lowest mean",
    response,
    factors,
  });
  const pair = strongestPair(entry);
  const charts = [{ name: "means", option: main }];
  if (pair === undefined) return charts;
  const coded = codedRuns(study.factors, rows, points);
  const [own, other] = pair.map((id) => coded.factors.findIndex((factor) => factor.id === id));
  if (own === undefined || other === undefined) return charts;
  const table = interactionTable({ runs: coded.runs, response: pointMeans(rows, index) }, other, own);
  const [factor, across] = pair;
  const option = interactionLinesOption({
    title: `${entry.id}: ${factor} and ${across} together`,
    response,
    factor: { name: factor, levels: labelsAt(study, factor, table.columns) },
    other: { name: across, levels: labelsAt(study, across, table.rows) },
    means: table.cells.map((row) => row.map(({ mean }) => (isKnown(mean) ? mean : null))),
  });
  return [...charts, { name: "together", option }];
}

/** The two factors with few levels whose product counts most. */
function strongestPair({ effects, model, means }: NumberEntry): readonly [string, string] | undefined {
  const few = new Set(means.map(({ factor }) => factor));
  const terms = effects?.effects ?? model?.coefficients ?? [];
  const pairs = terms
    .filter(
      ({ term: { of }, value }) => of.length === 2 && of[0] !== of[1] && value !== 0 && of.every((id) => few.has(id)),
    )
    .toSorted((a, b) => Math.abs(b.value) - Math.abs(a.value));
  const [first, second] = pairs[0]?.term.of ?? [];
  return first === undefined || second === undefined ? undefined : [first, second];
}

function fitCharts(entry: NumberEntry, model: NonNullable<NumberEntry["model"]>): readonly NamedChart[] {
  const { fitted, residuals, used, residual_sd } = model;
  if (fitted.length === 0 || !isKnown(residual_sd) || residual_sd === 0) return [];
  const points = fitted.map((predicted, k) => ({ predicted, observed: predicted + (residuals[k] ?? 0), label: "" }));
  const left = fitted.map((x, k) => ({ x, y: residuals[k] ?? 0, label: `point ${(used[k] ?? 0) + 1}` }));
  const response = quantityOf(entry);
  return [
    {
      name: "fit",
      option: predictedObservedOption({
        title: `${entry.id}: model against runs`,
        note: "on the dashed line the model gives what the run gave",
        response,
        points,
      }),
    },
    {
      name: "residuals",
      option: residualsOption({
        title: `${entry.id}: what the model misses`,
        note: "a run beyond the dashed lines, three standard deviations out, deserves a second look",
        along: `predicted ${response}`,
        residual: `residual of ${response}`,
        points: left,
        limit: 3 * residual_sd,
      }),
    },
  ];
}

function indexChart({ id, indices }: NumberEntry): readonly NamedChart[] {
  if (indices === null || "absent" in indices.indices) return [];
  const bars = indices.indices.map(({ factor, first, total }) => ({ name: factor, first, total }));
  const note = "share of the variance that each factor accounts for";
  return [{ name: "indices", option: sobolBarsOption({ title: `What ${id} hangs on`, note, indices: bars }) }];
}

function choiceCharts({ study }: ChartFacts, { id, map }: ChoiceEntry): readonly NamedChart[] {
  if (map === null) return [];
  const axis = (
    factor: string,
    levels: typeof map.rows,
  ): { readonly name: string; readonly values: readonly (string | number)[] } => ({
    name: factor,
    values: labelsAt(study, factor, levels),
  });
  const option = flipMapOption({
    title: `${id}: where the choice changes`,
    picked: id,
    x: axis(map.column, map.columns),
    y: axis(map.row, map.rows),
    picks: map.picks,
  });
  return [{ name: "map", option }];
}

function frontChart({ document, study, rows }: ChartFacts): readonly NamedChart[] {
  const { front } = document;
  const [x, y] = front?.responses ?? [];
  if (front === null || x === undefined || y === undefined) return [];
  const indexOf = (id: string): number => study.responses.findIndex((response) => response.id === id);
  const [first, second] = [indexOf(x.id), indexOf(y.id)];
  const best = new Set(front.runs);
  const points = rows.flatMap(({ run, responses }) => {
    const [a, b] = [responses[first], responses[second]];
    if (typeof a !== "number" || typeof b !== "number") return [];
    return [{ x: a, y: b, label: best.has(run) && best.size <= MOST_LABELS ? `run ${run}` : "", front: best.has(run) }];
  });
  const axis = ({ id, want }: typeof x): { readonly name: string; readonly better: "low" | "high" } => ({
    name: quantityOf(document.responses[indexOf(id)] ?? { id, unit: "" }),
    better: want === "less" ? "low" : "high",
  });
  const wishes = `better: ${x.want} ${x.id} and ${y.want} ${y.id}`;
  const count = front.responses.length;
  const note = count > 2 ? `${wishes}; not beaten in all ${count} responses, of which two are shown` : wishes;
  return [
    {
      name: "best",
      option: paretoOption({ title: `${x.id} against ${y.id}`, note, x: axis(x), y: axis(y), points }),
    },
  ];
}

/** Points of a front that are labelled before labels would hide it. */
const MOST_LABELS = 20;

function robustnessChart({ document }: ChartFacts): readonly NamedChart[] {
  const picks = (document.robustness ?? []).flatMap(({ point, picks: own }) =>
    own.flatMap(({ id, feasible, noise_runs, share, interval }) =>
      isKnown(share)
        ? [{ name: `point ${point}, ${id}`, held: feasible, runs: noise_runs, share: { value: share, ...interval } }]
        : [],
    ),
  );
  if (picks.length === 0) return [];
  const note = "share of the noise in which a pick holds, its parts as they are";
  return [
    { name: "robustness", option: robustnessBarsOption({ title: "Which picks stand up to the noise", note, picks }) },
  ];
}
