import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { isObject } from "../../../src/input/node.ts";
import { REASON_WORDS } from "../../../src/study/analysis/remark.ts";
import { branchesOf, branchesTaken, departures, partAt, SCHEMA, written } from "../document-schema.ts";
import { DOCUMENTS } from "./invented-documents.ts";

/** What the file of an invented document holds. */
function contentOf(name: string): object {
  const document = DOCUMENTS[name];
  if (document === undefined) throw new Error(`no document of ${name}`);
  return Object(written(document));
}

function isDescribed(part: Readonly<Record<string, unknown>>): boolean {
  const reference = part["$ref"];
  return (
    typeof part["description"] === "string" ||
    (typeof reference === "string" && isDescribed(partAt(reference.slice(1))))
  );
}

/** The same content with one member of one of its objects left out, for each of them. */
function* lacking(content: unknown): Generator<readonly [string, unknown]> {
  if (Array.isArray(content)) {
    for (const [k, entry] of content.entries())
      for (const [place, less] of lacking(entry)) yield [`/${k}${place}`, content.with(k, less)];
  } else if (isObject(content)) {
    for (const [key, value] of Object.entries(content)) {
      const { [key]: _left, ...rest } = content;
      yield [`/${key}`, rest];
      for (const [place, less] of lacking(value)) yield [`/${key}${place}`, { ...content, [key]: less }];
    }
  }
}

test.each(Object.entries(DOCUMENTS))("the document of a study is valid by its schema: %s", (_name, document) => {
  expect(departures(written(document))).toEqual([]);
});

test("every member, alternative, name and reason of the schema is met by one of these documents", () => {
  const taken = new Set(Object.values(DOCUMENTS).flatMap((document) => branchesTaken(written(document))));
  // Families of designs are named by the schema of designs, below.
  const open = branchesOf(SCHEMA).filter((branch) => !branch.startsWith("/$defs/design/properties/kind ="));
  expect(open.length).toBeGreaterThan(300);
  expect(open.filter((branch) => !taken.has(branch))).toEqual([]);
});

test("families of designs are those of the schema of designs, reasons in the words of the print", () => {
  const design = JSON.parse(readFileSync("shared/schemas/design.schema.json", "utf8"));
  const kinds = branchesOf(design).filter((place) => place.endsWith("/properties/kind"));
  const families = kinds.map((place) => partAt(place, design)["const"]);
  expect(families).toHaveLength(12);
  const listed = branchesOf(SCHEMA).flatMap(
    (branch) => /^\/\$defs\/design\/properties\/kind = (.*)/u.exec(branch)?.[1] ?? [],
  );
  expect(listed).toEqual(families);
  const reasons = partAt("/$defs/absent/properties/absent")["oneOf"];
  // Powers and paths of steepest change are not looked at in a study.
  const { "power-of-negatives": _power, "no-slope": _path, ...words } = REASON_WORDS;
  expect(reasons).toEqual(Object.entries(words).map(([reason, description]) => ({ const: reason, description })));
});

test("every member is described, in snake case", () => {
  const members = branchesOf(SCHEMA).filter(
    (place) => /\/properties\/[^/ ]+$/u.test(place) && !/\/(?:then|else)\//u.test(place),
  );
  expect(members.length).toBeGreaterThan(200);
  expect(members.filter((place) => !/\/[a-z][a-z0-9_]*$/u.test(place))).toEqual([]);
  expect(members.filter((place) => !isDescribed(partAt(place)))).toEqual([]);
});

test("a document that lacks any member is refused; only the figure of a property may be absent", () => {
  for (const name of ["every kind of number", "names over a grid", "sensitivity", "noise"]) {
    const passed = [...lacking(contentOf(name))].filter(([, less]) => departures(less).length === 0);
    const places = passed.map(([place]) => place);
    expect(places).toEqual(places.filter((place) => /^\/(?:noise_)?design\/properties\/\d+\/figure$/u.test(place)));
  }
});

function numberOf(name: string): object & { readonly model: object | null } {
  const entry = DOCUMENTS[name]?.responses[0];
  if (entry?.kind !== "number") throw new Error("no number");
  return entry;
}

const { model, ...number } = numberOf("a minimum");
const shares = numberOf("sensitivity");

test.each([
  ["an unknown member", { winner: true }],
  ["a name in another spelling", { responses: [{ ...number, model: { ...model, residualSd: 1 } }] }],
  ["nothing in the place of a figure", { responses: [{ ...number, model: { ...model, r2: null } }] }],
  ["a reason of its own", { responses: [{ ...number, model: { ...model, r2: { absent: "no-idea" } } }] }],
  ["a remark of its own", { responses: [{ ...number, model: { ...model, remarks: [{ kind: "fine" }] } }] }],
  ["a number without model and indices", { responses: [{ ...number, model: null }] }],
  ["indices beside a model", { responses: [{ ...shares, model }] }],
  ["another family", { design: { kind: "guess", points: 9, properties: [] } }],
  ["robustness without noise", { robustness: [] }],
  ["a run 0", { reasons: [{ reason: "none", runs: [0] }] }],
])("%s is refused", (_name, changes) => {
  const content = contentOf("a minimum");
  expect(departures({ ...content, responses: [{ ...number, model }, shares] })).toEqual([]);
  expect(departures({ ...content, ...changes })).not.toEqual([]);
});
