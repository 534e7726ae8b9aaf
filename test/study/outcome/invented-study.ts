import type { DesignPoint } from "../../../src/study/designs/design.ts";
import { type StudyDocument, type StudyFacts, studyDocument } from "../../../src/study/outcome/document.ts";
import { responseUnits } from "../../../src/study/outcome/response-units.ts";
import { rowsOf, type StudyRow } from "../../../src/study/outcome/rows.ts";
import type { Factor } from "../../../src/study/plan/factor.ts";
import { studyRuns } from "../../../src/study/plan/points.ts";
import type { Response, Study } from "../../../src/study/plan/study.ts";
import type { RunRecord, RunResult } from "../../../src/study/runs/run.ts";

/** What a run of an invented study comes to; null: infeasible. */
export interface InventedRun {
  readonly total: number;
  readonly motor?: string;
  readonly parts?: number;
}

/** A numeric factor from −1 to 1 that varies nothing. */
export function coded(id: string): Factor {
  return {
    id,
    places: [["x"]],
    apply: "set",
    unit: "",
    scale: { kind: "range", low: -1, high: 1, isLog: false, isWhole: false },
  };
}

/** A factor of names. */
export function named(id: string, ...names: readonly string[]): Factor {
  const levels = names.map((label) => ({ json: label, label, number: undefined }));
  return { id, places: [["x"]], apply: "set", unit: "", scale: { kind: "listed", levels, isCategorical: true } };
}

const RESPONSES: readonly Response[] = [
  { id: "total", at: ["objective", "total"], want: "less" },
  { id: "parts", at: ["distinct", "parts"], want: "less" },
  { id: "motor", at: ["machines", "m", "axes", "x", "motor"], want: undefined },
];

/** A study of these factors. */
export function inventedStudy(factors: readonly Factor[], changes: Partial<Study> = {}): Study {
  return {
    title: "invented",
    file: { path: "s.json", sha256: "" },
    problem: { path: "p.json", content: {} },
    seed: 1,
    factors,
    constraints: [],
    design: { kind: "full-factorial" },
    moreRuns: 0,
    noise: [],
    noiseDesign: { kind: "full-factorial" },
    responses: RESPONSES,
    solve: { engine: "simplex", timeLimit: Number.POSITIVE_INFINITY },
    model: undefined,
    ...changes,
  };
}

/** Points of an invented study, and those of its noise where it has any. */
export interface InventedPoints {
  readonly kind: string;
  readonly points: readonly DesignPoint[];
  readonly noise?: readonly DesignPoint[];
}

/** Everything a study's outcome is made of, from what each of its runs came to. */
export function inventedFacts(
  study: Study,
  { kind, points, noise = [] }: InventedPoints,
  outcomes: readonly (InventedRun | null)[],
): StudyFacts & { readonly rows: readonly StudyRow[]; readonly records: readonly RunRecord[] } {
  const runs = studyRuns(study, points, noise);
  const records = outcomes.map(recordOf);
  const rows = rowsOf(study, runs, records);
  const design = { kind, points, properties: [] };
  return {
    study,
    design,
    noise: noise.length === 0 ? undefined : { kind: "given", points: noise, properties: [] },
    rows,
    robustness: null,
    currency: "EUR",
    units: responseUnits(study, records, "EUR"),
    records,
  };
}

/** The document of such a study. */
export function inventedDocument(...facts: Parameters<typeof inventedFacts>): StudyDocument {
  return studyDocument(inventedFacts(...facts));
}

function recordOf(outcome: InventedRun | null, index: number): RunRecord {
  if (outcome === null) return { key: String(index), status: "infeasible", reason: "x: motor.speed", result: null };
  return { key: String(index), status: "optimal", reason: null, result: resultOf(outcome) };
}

/** The members of a result that such a study looks at. */
function resultOf({ total, motor = "M1", parts = 3 }: InventedRun): RunResult {
  const result: unknown = {
    status: "optimal",
    objective: { total, terms: {} },
    bound: total,
    gap: 0,
    machines: [
      {
        id: "m",
        buses: [{ id: "main", supply: "S1", resistor: null }],
        axes: [
          {
            id: "x",
            motor,
            gearbox: null,
            ratio: 1,
            drive: "D1",
            inductor: null,
            limits: [{ id: "motor.speed", demand: 2, allowed: 4, unit: "rpm", utilisation: 0.5 }],
          },
        ],
      },
    ],
    limits: [],
    parts: [],
    distinct: { parts },
  };
  return result as RunResult;
}
