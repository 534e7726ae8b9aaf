import { csvText } from "../../report/csv-text.ts";
import { guarded } from "../../report/guarded.ts";
import type { Figure } from "../analysis/remark.ts";
import type { ResponseEntry, StudyDocument } from "./document.ts";

const HEADERS = [
  "response",
  "unit",
  "figure",
  "term",
  "value",
  "standard error",
  "t",
  "p",
  "low",
  "high",
  "aliased with",
];

type Row = readonly (string | number)[];

/** Effects, coefficients and indices of every numeric response as one table; what there is none of stays empty. */
export async function termsCsv({ responses }: Pick<StudyDocument, "responses">): Promise<string> {
  const rows = responses.flatMap((entry) => (entry.kind === "number" ? rowsOf(entry) : []));
  const cells = rows.map((row) => row.map((one) => (typeof one === "number" ? String(one) : guarded(one))));
  return csvText(HEADERS, cells);
}

function rowsOf({ id, unit, effects, model, indices }: Extract<ResponseEntry, { kind: "number" }>): readonly Row[] {
  const of = (figure: string, term: string, cells: Row): Row => [id, unit, figure, term, ...cells];
  const shares = indices === null || "absent" in indices.indices ? [] : indices.indices;
  return [
    ...(effects?.effects ?? []).map(({ name, value, aliases }) =>
      of("effect", name, [value, "", "", "", "", "", aliases.join("; ")]),
    ),
    ...(model?.coefficients ?? []).map(({ name, value, standard_error, t, p }) =>
      of("coefficient", name, [value, cell(standard_error), cell(t), cell(p), "", "", ""]),
    ),
    ...shares.flatMap(({ factor, first, total }) => [
      of("index alone", factor, [first.value, "", "", "", first.low, first.high, ""]),
      of("index with all", factor, [total.value, "", "", "", total.low, total.high, ""]),
    ]),
  ];
}

function cell(figure: Figure): string | number {
  return typeof figure === "number" ? figure : "";
}
