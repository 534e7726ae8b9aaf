import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import { isObject } from "../../src/input/node.ts";
import { documentText } from "../../src/report/document-text.ts";
import type { StudyDocument } from "../../src/study/outcome/document.ts";

type Part = Readonly<Record<string, unknown>>;

/** The schema of study documents. */
export const SCHEMA: Part = JSON.parse(readFileSync("shared/schemas/study-document.schema.json", "utf8"));

const ajv = new Ajv2020({ allErrors: true, strict: true, strictTypes: false, strictRequired: false });
const validate = ajv.compile(SCHEMA);

/** What the file of a study document holds. */
export function written(document: StudyDocument): unknown {
  return JSON.parse(documentText(document));
}

/** Everything in which the content of a file departs from the schema. */
export function departures(content: unknown): readonly string[] {
  return validate(content)
    ? []
    : (validate.errors ?? []).map(({ instancePath, message }) => `${instancePath} ${message}`);
}

/** Everything the schema tells apart, by its place: members, alternatives, listed names, types where there are several. */
export function branchesOf(part: unknown, place = ""): readonly string[] {
  if (!isObject(part)) return [];
  const inner = [
    ...["properties", "$defs"].flatMap((key) => Object.entries(membersOf(part, key)).map(at(`${place}/${key}`))),
    ...["oneOf", "anyOf"].flatMap((key) => [...listOf(part, key).entries()].map(at(`${place}/${key}`))),
    ...["items", "then", "else"].flatMap((key) => (key in part ? [at(place)([key, part[key]])] : [])),
  ];
  const names = listOf(part, "enum").map((name) => `${place} = ${String(name)}`);
  const types = listOf(part, "type").map((type) => `${place} is ${String(type)}`);
  return [place, ...names, ...types, ...inner.flatMap(([pointer, own]) => branchesOf(own, pointer))];
}

/** Those of them that a content, valid by the schema, takes. */
export function branchesTaken(content: unknown, place = ""): readonly string[] {
  const part = partAt(place);
  const reference = typeof part["$ref"] === "string" ? [part["$ref"].slice(1)] : [];
  const alternatives = ["oneOf", "anyOf"].flatMap((key) =>
    [...listOf(part, key).keys()].map((k) => `${place}/${key}/${k}`).filter((one) => isMet(one, content)),
  );
  const condition = "if" in part ? [`${place}/${isMet(`${place}/if`, content) ? "then" : "else"}`] : [];
  const members = isObject(content) ? Object.keys(membersOf(part, "properties")).filter((key) => key in content) : [];
  const entries = "items" in part && Array.isArray(content) ? content : [];
  return [
    place,
    ...("enum" in part ? [`${place} = ${String(content)}`] : []),
    ...(Array.isArray(part["type"]) ? [`${place} is ${content === null ? "null" : typeof content}`] : []),
    ...[...reference, ...alternatives, ...condition].flatMap((one) => branchesTaken(content, one)),
    ...members.flatMap((key) =>
      branchesTaken(isObject(content) ? content[key] : undefined, `${place}/properties/${key}`),
    ),
    ...entries.flatMap((entry) => branchesTaken(entry, `${place}/items`)),
  ];
}

function at(place: string): (entry: readonly [string | number, unknown]) => readonly [string, unknown] {
  return ([key, part]) => [`${place}/${key}`, part];
}

function membersOf(part: Part, key: string): Part {
  const members = part[key];
  return isObject(members) ? members : {};
}

function listOf(part: Part, key: string): readonly unknown[] {
  const list = part[key];
  return Array.isArray(list) ? list : [];
}

/** The part of a schema at a place. */
export function partAt(place: string, schema: Part = SCHEMA): Part {
  let part: unknown = schema;
  for (const key of place.split("/").slice(1)) part = Object(part)[key];
  return isObject(part) ? part : {};
}

function isMet(place: string, content: unknown): boolean {
  return ajv.getSchema(`${String(SCHEMA["$id"])}#${place}`)?.(content) === true;
}
