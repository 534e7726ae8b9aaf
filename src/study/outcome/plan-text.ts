import { counted } from "../../report/figures.ts";
import { labelled, printable } from "../../report/layout.ts";
import type { TextStyle } from "../../report/text-style.ts";
import type { Study } from "../plan/study.ts";
import type { StudyDesigns } from "../plan/study-design.ts";
import { type DesignEntry, type FactorEntry, type PlanDocument, planDocument } from "./plan-document.ts";

/** Columns a label takes. */
const COLUMN = 11;

/** What a study would run, and what can be said of its design; at most 80 columns, newline at the end. */
export function planText(plan: StudyDesigns & { readonly study: Study }, style: TextStyle): string {
  const doc = planDocument(plan);
  const { design, noise_design: noise } = doc;
  const runs = design.points * (noise?.points ?? 1);
  const of =
    noise === null
      ? ""
      : `, ${counted(design.points, "point")} under ${counted(noise.points, "run")} of the noise each`;
  const head = labelled("READ", `${printable(doc.title)}: no faults. ${counted(runs, "run")} to solve${of}.`, COLUMN);
  const blocks = [head.map(style.good), ...planBlocks(doc)];
  return `${blocks.map((lines) => lines.join("\n")).join("\n\n")}\n`;
}

/** Factors and designs, each a block. */
export function planBlocks(doc: PlanDocument): readonly string[][] {
  const noise = doc.noise.map((one) => `${factorWords(one)}, noise`);
  return [
    labelledAll("FACTORS", [...doc.factors.map(factorWords), ...noise]),
    labelledAll("DESIGN", [
      ...designWords(doc.design),
      ...(doc.noise_design === null ? [] : noiseWords(doc.noise_design)),
    ]),
  ];
}

/** A label with items below each other beside it; none without items. */
export function labelledAll(label: string, items: readonly string[]): string[] {
  return items.flatMap((item, index) => labelled(index === 0 ? label : "", item, { first: COLUMN, rest: COLUMN + 2 }));
}

function factorWords({ id, values, kind, places, apply }: FactorEntry): string {
  const isRange = kind !== "listed" && kind !== "categorical";
  const range = isRange ? `${values[0]} to ${values[1]}` : values.join(", ");
  const how = {
    range: "",
    "log range": ", logarithmic",
    "whole numbers": ", whole numbers",
    listed: "",
    categorical: "",
  }[kind];
  const where = apply === "multiply" ? `, times ${counted(places, "value")} of the problem` : placesWords(places);
  return `${printable(id)}: ${printable(range)}${how}${where}`;
}

function placesWords(places: number): string {
  return places === 1 ? "" : `, in ${counted(places, "place")} of the problem`;
}

/** Properties one by one; what holds of every main effect alike is said once. */
function designWords({ kind, properties }: DesignEntry): string[] {
  const mains = properties.filter(({ name }) => name.startsWith(MAIN_EFFECT));
  const isSame = mains.length > 1 && mains.every(({ value }) => value === mains[0]?.value);
  const shown = isSame ? properties.filter((one) => !mains.includes(one)) : properties;
  const all = isSame ? [`every main effect: ${mains[0]?.value ?? ""}`] : [];
  return [kind, ...shown.map(({ name, value }) => `${name}: ${value}`), ...all];
}

const MAIN_EFFECT = "main effect of ";

function noiseWords(noise: DesignEntry): string[] {
  const [kind, ...rest] = designWords(noise);
  return [`of the noise: ${kind}`, ...rest];
}
