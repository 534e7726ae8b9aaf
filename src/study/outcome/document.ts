import { VERSION } from "../../version.ts";
import { paretoFront, type Wishes } from "../analysis/pareto.ts";
import { preciseSum } from "../analysis/precise-sum.ts";
import type { Study } from "../plan/study.ts";
import type { StudyDesigns } from "../plan/study-design.ts";
import { type ChoiceAnalysis, choiceAnalysis } from "./choice-analysis.ts";
import { type CodedRuns, codedRuns, isChoice, pointMeans } from "./coded-runs.ts";
import { type NumberAnalysis, numberAnalysis } from "./number-analysis.ts";
import { type PlanDocument, planDocument } from "./plan-document.ts";
import type { PointRobustness } from "./robust.ts";
import type { StudyRow } from "./rows.ts";
import { type Snaked, snaked } from "./snake-case.ts";

/** What a study found: plain JSON, beside the runs themselves. */
export interface StudyDocument extends PlanDocument {
  readonly format: "fewframe-study/1";
  readonly fewframe: string;
  readonly currency: string;
  readonly runs: RunCounts;
  /** Runs without an order that is proved lowest, by reason, most frequent first. */
  readonly reasons: readonly { readonly reason: string; readonly runs: readonly number[] }[];
  readonly responses: readonly ResponseEntry[];
  /** Runs that no other run beats in all responses with a wish; null where fewer than two have one. */
  readonly front: FrontEntry | null;
  /** null without noise. */
  readonly robustness: readonly Snaked<PointRobustness>[] | null;
}

export interface RunCounts {
  readonly all: number;
  readonly optimal: number;
  readonly feasible: number;
  readonly infeasible: number;
  readonly unknown: number;
  readonly failed: number;
}

export type ResponseEntry = { readonly id: string; readonly unit: string } & (
  | ({ readonly kind: "number"; readonly range: ResponseRange } & Snaked<NumberAnalysis>)
  | ({ readonly kind: "choice" } & Snaked<ChoiceAnalysis>)
  | { readonly kind: "nothing" }
);

export interface ResponseRange {
  readonly least: { readonly value: number; readonly run: number };
  readonly most: { readonly value: number; readonly run: number };
  /** Of the runs that gave a value. */
  readonly mean: number;
}

export interface FrontEntry {
  readonly responses: readonly { readonly id: string; readonly want: "less" | "more" }[];
  readonly runs: readonly number[];
}

/** What the document is made of. */
export interface StudyFacts extends StudyDesigns {
  readonly study: Study;
  readonly rows: readonly StudyRow[];
  readonly robustness: readonly PointRobustness[] | null;
  readonly currency: string;
  /** Of each response; empty: a plain number or a name. */
  readonly units: readonly string[];
}

/** The document of a study whose runs are all solved. */
export function studyDocument(facts: StudyFacts): StudyDocument {
  const { study, design, rows, robustness, currency } = facts;
  const coded = codedRuns(study.factors, rows, design.points);
  return {
    format: "fewframe-study/1",
    fewframe: VERSION,
    ...planDocument(facts),
    currency,
    runs: countsOf(rows),
    reasons: reasonsOf(rows),
    responses: study.responses.map((_, index) => responseEntry(facts, coded, index)),
    front: frontOf(study, rows),
    robustness: snaked(robustness),
  };
}

function countsOf(rows: readonly StudyRow[]): RunCounts {
  const count = (status: StudyRow["status"]): number => rows.filter((row) => row.status === status).length;
  return {
    all: rows.length,
    optimal: count("optimal"),
    feasible: count("feasible"),
    infeasible: count("infeasible"),
    unknown: count("unknown"),
    failed: count("failed"),
  };
}

function reasonsOf(rows: readonly StudyRow[]): StudyDocument["reasons"] {
  const runs = new Map<string, number[]>();
  for (const { reason, run } of rows) {
    if (reason !== null) runs.set(reason, [...(runs.get(reason) ?? []), run]);
  }
  const found = [...runs].map(([reason, of]) => ({ reason, runs: of }));
  return found.toSorted((a, b) => b.runs.length - a.runs.length || (a.runs[0] ?? 0) - (b.runs[0] ?? 0));
}

function responseEntry({ study, design, rows, units }: StudyFacts, coded: CodedRuns, index: number): ResponseEntry {
  const values = rows.map((row) => row.responses[index] ?? null);
  const of = { id: study.responses[index]?.id ?? "", unit: units[index] ?? "" };
  if (isChoice(values)) {
    const picks = values.map((value) => (value === null ? null : String(value)));
    const runs = rows.map((row) => coded.runs[row.point] ?? []);
    return { ...of, kind: "choice", ...snaked(choiceAnalysis({ factors: coded.factors, runs }, picks)) };
  }
  const range = rangeOf(rows, index);
  if (range === undefined) return { ...of, kind: "nothing" };
  const request = {
    ...coded,
    response: pointMeans(rows, index),
    design: design.kind,
    order: study.model,
    seed: study.seed,
  };
  return { ...of, kind: "number", range, ...snaked(numberAnalysis(request)) };
}

function rangeOf(rows: readonly StudyRow[], index: number): ResponseRange | undefined {
  const known = rows.flatMap(({ run, responses }) => {
    const value = responses[index] ?? null;
    return typeof value === "number" ? [{ run, value }] : [];
  });
  const [first] = known;
  if (first === undefined) return undefined;
  return {
    least: known.reduce((best, one) => (one.value < best.value ? one : best), first),
    most: known.reduce((best, one) => (one.value > best.value ? one : best), first),
    mean: preciseSum(known.map(({ value }) => value)) / known.length,
  };
}

function frontOf({ responses }: Study, rows: readonly StudyRow[]): FrontEntry | null {
  const wanted = responses.flatMap(({ id, want }, index) => (want === undefined ? [] : [{ id, want, index }]));
  if (wanted.length < 2) return null;
  const points = rows.map((row) =>
    wanted.map(({ index }) => {
      const value = row.responses[index] ?? null;
      return typeof value === "number" ? value : null;
    }),
  );
  const wishes: Wishes = wanted.map(({ want }) => (want === "less" ? "lower" : "raise"));
  const front = paretoFront(points, wishes);
  return {
    responses: wanted.map(({ id, want }) => ({ id, want })),
    runs: front.flatMap((place) => rows[place]?.run ?? []),
  };
}
