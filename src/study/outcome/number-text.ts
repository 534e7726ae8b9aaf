import { counted, figure } from "../../report/figures.ts";
import { listed, printable, wrap } from "../../report/layout.ts";
import { type Absent, type Figure, isKnown, REASON_WORDS, type Remark, remarkWords } from "../analysis/remark.ts";
import type { Index, SobolIndices } from "../analysis/sobol-indices.ts";
import type { Squares } from "../analysis/variance-row.ts";
import type { Study } from "../plan/study.ts";
import type { ResponseEntry } from "./document.ts";
import { labelOf } from "./level-labels.ts";
import type { FactorMeans, SurfaceAnalysis } from "./number-analysis.ts";
import type { Snaked } from "./snake-case.ts";

type NumberEntry = Extract<ResponseEntry, { kind: "number" }>;
type Effects = NonNullable<NumberEntry["effects"]>;
type Model = NonNullable<NumberEntry["model"]>;

const PLAIN = { first: 2, rest: 4 };
/** Rows of a table before the rest is counted. */
const MOST_ROWS = 14;
const NAME_WIDTH = 28;

/** What moves a numeric response: effects, model, surface, indices, whichever the design gives. */
export function numberLines(entry: NumberEntry, study: Study): string[] {
  const { effects, model, indices, means } = entry;
  return [
    ...(effects === null ? meansLines(means, study) : effectsLines(effects)),
    ...(model === null ? [] : modelLines(model, study, effects !== null)),
    ...(indices === null ? [] : indicesLines(indices)),
  ];
}

function row(name: string, ...cells: readonly string[]): string {
  return `    ${printable(name).slice(0, NAME_WIDTH).padEnd(NAME_WIDTH)}${cells.map((cell) => cell.padStart(12)).join("")}`.trimEnd();
}

function remarkLines(remarks: readonly Remark[]): string[] {
  return remarks.slice(0, MOST_ROWS).flatMap((remark) => wrap(`Note: ${remarkWords(remark)}.`, PLAIN));
}

function absentLine(what: string, { absent }: Absent): string[] {
  return wrap(`${what}: none: ${REASON_WORDS[absent]}.`, PLAIN);
}

function effectsLines({ effects, lenth, remarks }: Effects): string[] {
  const bySize = effects.filter(({ value }) => value !== 0).toSorted((a, b) => Math.abs(b.value) - Math.abs(a.value));
  const none = effects.length - bySize.length;
  const mark = (name: string): string => {
    if ("absent" in lenth) return "";
    return lenth.active.includes(name) ? " **" : lenth.likely.includes(name) ? " *" : "";
  };
  const shown = bySize.slice(0, MOST_ROWS);
  const rest = bySize.length - shown.length;
  return [
    "  What it hangs on, from the low to the high end of each factor:",
    ...shown.flatMap(({ name, value, aliases }) => [
      `${row(name, figure(value, 4))}${mark(name)}`,
      ...(aliases.length === 0 ? [] : wrap(`or ${aliases.map(printable).join(", ")}`, { first: 6, rest: 9 })),
    ]),
    ...(rest > 0 ? [`    and ${counted(rest, "smaller effect")}`] : []),
    ...(none > 0 ? [`    ${counted(none, "effect")} of exactly nothing`] : []),
    ...("absent" in lenth ? absentLine("Margins of error", lenth) : lenthLines(lenth)),
    ...remarkLines(remarks.filter((remark) => !isNamedBeside(remark))),
  ];
}

/** An effect that equals one other stands beside it in the table. */
function isNamedBeside(remark: Remark): boolean {
  return remark.kind === "aliased" && remark.of.length === 1;
}

function lenthLines({ margin_of_error, simultaneous_margin }: Exclude<Effects["lenth"], Absent>): string[] {
  const words = `** beyond ${figure(simultaneous_margin, 4)}, which all effects of nothing together stay below, * beyond ${figure(margin_of_error, 4)}, which one does (Lenth, 95 %). The solver has no noise: the margins tell what stands out from the rest, not what is real.`;
  return wrap(words, PLAIN);
}

function meansLines(means: readonly FactorMeans[], study: Study): string[] {
  if (means.length === 0) return [];
  return [
    "  Mean at each level:",
    ...means.flatMap(({ factor, levels }) => {
      const words = levels
        .map((level) => `${figureText(level.mean)} at ${printable(labelOf(study, factor, level.level))}`)
        .join(", ");
      return wrap(`${printable(factor)}: ${words}`, { first: 4, rest: 6 });
    }),
  ];
}

function figureText(value: Figure, digits = 4): string {
  return isKnown(value) ? figure(value, digits) : "-";
}

const ORDER_WORDS = {
  linear: "main effects",
  interactions: "main effects and products of two",
  quadratic: "main effects, products of two and squares",
} as const;

function modelLines(model: Model, study: Study, hasEffects: boolean): string[] {
  const { order, r2, adjusted_r2, predicted_r2, residual_sd, remarks, surface } = model;
  const quality = [
    ["R2", r2],
    ["adjusted", adjusted_r2],
    ["predicted", predicted_r2],
    ["residual SD", residual_sd],
  ] as const;
  const known = quality.filter(([, value]) => isKnown(value)).map(([name, value]) => `${name} ${figureText(value)}`);
  const missing = quality.filter(([, value]) => !isKnown(value));
  return [
    ...wrap(
      `Model of ${ORDER_WORDS[order]}: ${known.length === 0 ? "nothing to judge it by" : known.join(", ")}.`,
      PLAIN,
    ),
    ...missing.slice(0, 1).flatMap(([name, value]) => (isKnown(value) ? [] : absentLine(name, value))),
    ...(hasEffects ? [] : coefficientLines(model)),
    ...(hasEffects ? [] : anovaLines(model)),
    ...(hasEffects ? [] : remarkLines(remarks)),
    ...("absent" in surface ? [] : surfaceLines(surface, study)),
  ];
}

function coefficientLines({ coefficients }: Model): string[] {
  const bySize = coefficients
    .filter(({ term }) => term.of.length > 0)
    .toSorted((a, b) => Math.abs(b.value) - Math.abs(a.value));
  const shown = bySize
    .slice(0, MOST_ROWS)
    .map(({ name, value, standard_error, p }) =>
      row(name, figure(value, 4), figureText(standard_error, 3), isKnown(p) ? chanceText(p) : "-"),
    );
  const rest = bySize.length - shown.length;
  return [
    row("coefficient (half the range)", "value", "+-", "p"),
    ...shown,
    ...(rest > 0 ? [`    and ${counted(rest, "smaller one")}`] : []),
    ...wrap("+- and p judge each by what the whole model misses; the solver itself has no noise.", PLAIN),
  ];
}

function chanceText(p: number): string {
  return p < 0.0001 ? "<0.0001" : p.toFixed(4);
}

/** What the model accounts for against what it leaves; what it misses of repeated settings, where there are any. */
function anovaLines({ anova }: Model): string[] {
  const { model, residual, lack_of_fit, pure_error, total } = anova;
  if (total.freedom <= 0) return [];
  return [
    row("variance", "squares", "freedom", "F", "p"),
    varianceRow("model", model),
    varianceRow("what it misses", residual),
    ...("absent" in lack_of_fit ? [] : [varianceRow("  lack of fit", lack_of_fit)]),
    ...("absent" in pure_error ? [] : [varianceRow("  repeated settings", pure_error)]),
  ];
}

function varianceRow(
  name: string,
  { sum_of_squares, freedom, ...tested }: Snaked<Squares> & { readonly f?: Figure; readonly p?: Figure },
): string {
  const { f, p } = tested;
  const cells = f === undefined || p === undefined || !isKnown(f) || !isKnown(p) ? [] : [figure(f, 4), chanceText(p)];
  return row(name, figure(sum_of_squares, 4), figure(freedom), ...cells);
}

function surfaceLines({ axes, canonical }: Snaked<SurfaceAnalysis>, study: Study): string[] {
  const { kind, eigenvalues, stationary, on_ridge, flat } = canonical;
  const at = "absent" in stationary ? on_ridge : stationary;
  const place = axes.map(({ id }, index) => {
    return `${printable(id)} ${printable(labelOf(study, id, at.coded[index] ?? 0))}`;
  });
  const where = at.is_inside ? "inside the ranges" : "outside the ranges, so only a direction";
  const ridge = flat === 0 ? "" : `, nearly flat along ${counted(flat, "direction")}`;
  return wrap(
    `Level point (${kind}${ridge}) at ${listed(place)}, ${figure(at.height, 5)}, ${where}. Bends ${eigenvalues.map((value) => figure(value, 4)).join(", ")}.`,
    PLAIN,
  );
}

function indicesLines({ indices, blocks, variance, remarks }: SobolIndices): string[] {
  const head = `Share of its variance${isKnown(variance) ? ` (${figure(variance, 4)})` : ""} that each factor accounts for, from ${counted(blocks, "block")}:`;
  if ("absent" in indices) return [...absentLine("Sobol indices", indices), ...remarkLines(remarks)];
  return [
    ...wrap(head, PLAIN),
    indexRow("", "alone", "with all it works with"),
    ...indices.map(({ factor, first, total }) => indexRow(factor, indexText(first), indexText(total))),
    ...remarkLines(remarks),
  ];
}

function indexText({ value, low, high }: Index): string {
  return `${fixed(value, 3)} (${fixed(low, 2)} to ${fixed(high, 2)})`;
}

/** A zero has no sign. */
function fixed(value: number, decimals: number): string {
  return value.toFixed(decimals).replace(/^-(?=[0.]+$)/, "");
}

function indexRow(name: string, first: string, total: string): string {
  return `    ${printable(name).slice(0, 26).padEnd(26)}${first.padStart(24)}${total.padStart(24)}`;
}
