export { type DrawnChart, drawCharts, type NamedChart } from "./charts/draw-charts.ts";
export type { Fault, Place, Result } from "./faults/fault.ts";
export { InternalFault } from "./faults/fault.ts";
export { faultLine } from "./faults/fault-line.ts";
export { frontierFile } from "./frontier-file.ts";
export { type ProblemInput, readProblem } from "./input/read-problem.ts";
export type * from "./machine/catalogue.ts";
export {
  FRONTIER_KINDS,
  type FrontierChanges,
  type FrontierDocument,
  type FrontierFile,
  type FrontierKind,
  type FrontierOptions,
  type FrontierPoint,
} from "./machine/frontier.ts";
export type { LimitId } from "./machine/limit.ts";
export type * from "./machine/mechanism.ts";
export type * from "./machine/problem.ts";
export type * from "./machine/ratios.ts";
export type * from "./machine/result.ts";
export type { Phase, Progress, SolveFile, SolveFileOptions, SolveFileOutcome } from "./machine/run.ts";
export type * from "./machine/verification.ts";
export type { LinearModel, LinearRow, LinearVariable } from "./model/linear.ts";
export { lower, picksOf } from "./model/lower.ts";
export { lpText } from "./model/lp-text.ts";
export type {
  Column,
  Condition,
  CountCap,
  Envelope,
  Expression,
  Group,
  ModelPart,
  Origin,
  Picks,
  Pool,
  SelectionModel,
  SharedRow,
  Verdict,
} from "./model/selection.ts";
export { frontierCharts } from "./pictures/frontier-charts.ts";
export { ratiosCharts } from "./pictures/ratios-charts.ts";
export { ratiosFile } from "./ratios-file.ts";
export { checkText } from "./report/check-text.ts";
export { documentText } from "./report/document-text.ts";
export { partsCsv } from "./report/parts-list.ts";
export { ratioCurveCsv, ratioPicksCsv } from "./report/ratios-csv.ts";
export { ratiosText } from "./report/ratios-text.ts";
export { seriesCsv, seriesNames } from "./report/series-csv.ts";
export { solveText } from "./report/solve-text.ts";
export { PLAIN_STYLE, type TextStyle } from "./report/text-style.ts";
export { verifyText } from "./report/verify-text.ts";
export { checkProblem } from "./result/check-problem.ts";
export { type Proof, proveAgain } from "./solve/certificate.ts";
export { costOf, violatedRows } from "./solve/cost.ts";
export type { Engine, EngineAnswer, EngineName } from "./solve/engine.ts";
export { type Engines, newEngines } from "./solve/engines/engines.ts";
export type { Multipliers } from "./solve/multipliers.ts";
export type {
  Certificate,
  CertificateBranch,
  Decision,
  Outcome,
  OutcomeStatus,
  Progress as SearchProgress,
  SolveOptions,
  SolveStats,
} from "./solve/outcome.ts";
export { solveModel } from "./solve/solve-model.ts";
export { solveFile } from "./solve-file.ts";
export type { StudyDocument } from "./study/outcome/document.ts";
export { type PlanDocument, planDocument } from "./study/outcome/plan-document.ts";
export { planText } from "./study/outcome/plan-text.ts";
export { runsCsv, runsJsonLines } from "./study/outcome/runs-files.ts";
export { studyCharts } from "./study/outcome/study-charts.ts";
export { studyText } from "./study/outcome/study-text.ts";
export { termsCsv } from "./study/outcome/terms-csv.ts";
export { isStudyFile } from "./study/plan/is-study-file.ts";
export { type QueueAddress, queueAddress } from "./study/runs/queue/address.ts";
export { type QueueRunnerOptions, queueRunner } from "./study/runs/queue/queue-runner.ts";
export { type QueueWorkerOptions, queueWorker } from "./study/runs/queue/queue-worker.ts";
export type { RunsProgress } from "./study/runs/run-all.ts";
export type { Runner } from "./study/runs/runner.ts";
export { threadRunner } from "./study/runs/thread-runner.ts";
export { planStudy, type StudyFileOptions, type StudyOutcome, type StudyPlan, studyFile } from "./study-file.ts";
export { verifyResult } from "./verify-file.ts";
export { VERSION } from "./version.ts";
