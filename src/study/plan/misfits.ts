import type { Fault } from "../../faults/fault.ts";
import { faultLine } from "../../faults/fault-line.ts";
import { outOfRange } from "../../faults/wordings.ts";
import type { VariantReader } from "../../input/read-problem.ts";
import type { DesignPoint } from "../designs/design.ts";
import { type Factor, type Level, levelAt } from "./factor.ts";
import { applied } from "./points.ts";
import type { Study } from "./study.ts";
import type { StudyDesigns } from "./study-design.ts";

/** Points of the design that are tried before a value counts as one that the problem cannot take. */
const TRIED = 3;

/**
 * Values that the problem cannot take, neither alone nor at points of the design that hold them, each told with what it
 * breaks: found before anything is solved. Each factor is tried at each of its levels, or at both ends of its range.
 */
export async function misfits(
  study: Study,
  { design, noise }: StudyDesigns,
  reader: VariantReader,
): Promise<readonly Fault[]> {
  const faults: Fault[] = [];
  for (const [key, factors, points] of [
    ["factors", study.factors, design.points],
    ["noise", study.noise, noise?.points ?? []],
  ] as const) {
    for (const [index, factor] of factors.entries()) {
      for (const { at, level, coordinate } of extremes(factor)) {
        const broken = await brokenBy(study, { factors, points, index, level, coordinate }, reader);
        const place = { file: study.file.path, pointer: `/${key}/${index}/${at}` };
        if (broken !== undefined)
          faults.push(outOfRange(place, level.label, `a value the problem can take; there ${faultLine(broken)}`));
      }
    }
  }
  return faults;
}

interface Tried {
  readonly factors: readonly Factor[];
  readonly points: readonly DesignPoint[];
  readonly index: number;
  readonly level: Level;
  readonly coordinate: number;
}

/** What the value breaks alone, unless a point that holds it reads without a fault. */
async function brokenBy(
  { problem }: Study,
  { factors, points, index, level, coordinate }: Tried,
  reader: VariantReader,
): Promise<Fault | undefined> {
  const factor = factors[index];
  if (factor === undefined) return undefined;
  const alone = await reader.read(problem.path, applied(problem.content, factor, level));
  if (alone.ok) return undefined;
  const near = points.filter((point) => point[index] === coordinate).slice(0, TRIED);
  for (const point of near) {
    const content = factors.reduce<unknown>(
      (document, one, k) => applied(document, one, levelAt(one, point[k] ?? 0)),
      problem.content,
    );
    if ((await reader.read(problem.path, content)).ok) return undefined;
  }
  return alone.faults[0];
}

function extremes({
  scale,
  ...factor
}: Factor): readonly { readonly at: string; readonly level: Level; readonly coordinate: number }[] {
  if (scale.kind === "listed")
    return scale.levels.map((level, index) => ({ at: `levels/${index}`, level, coordinate: index }));
  return [-1, 1].map((end, index) => ({
    at: `range/${index}`,
    level: levelAt({ ...factor, scale }, end),
    coordinate: end,
  }));
}
