import type { Level } from "../analysis/factor.ts";
import { codedValue, type Factor, levelAt } from "../plan/factor.ts";
import type { Study } from "../plan/study.ts";

/** A level as the analysis knows it, as people read it. */
export function labelOf(study: Pick<Study, "factors">, id: string, level: Level): string {
  const factor = study.factors.find((one) => one.id === id);
  if (factor === undefined || typeof level === "string") return String(level);
  return factor.scale.kind === "range" ? shortLabel(levelAt(factor, level).label) : listedLabel(factor, level);
}

/** The same for many levels. */
export function labelsAt(study: Pick<Study, "factors">, id: string, levels: readonly Level[]): readonly string[] {
  return levels.map((level) => labelOf(study, id, level));
}

function listedLabel(factor: Factor, level: number): string {
  const levels = factor.scale.kind === "listed" ? factor.scale.levels : [];
  return levels.find((one, index) => codedValue(factor, index, one) === level)?.label ?? String(level);
}

/** A label with its number cut to five digits. */
function shortLabel(label: string): string {
  return label.replace(/^-?\d[\d.]*(?:e[+-]?\d+)?/u, (number) => String(Number(Number(number).toPrecision(5))));
}
