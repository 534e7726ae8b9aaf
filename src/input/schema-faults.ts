import { readFile } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { Ajv2020, type ErrorObject } from "ajv/dist/2020.js";
import { type Fault, InternalFault, type Place } from "../faults/fault.ts";
import { nearestName } from "../faults/nearest-name.ts";
import { missing, moneyExpected, outOfRange, unknownKey, unknownName, wrongForm } from "../faults/wordings.ts";
import { describeQuantity, QUANTITIES, type Quantity } from "../units/quantity.ts";
import { joinPointer } from "./json-pointer.ts";
import { isObject } from "./node.ts";

/** Checks the content of a file against a schema: every departure as one fault. */
export type SchemaCheck = (file: string, content: unknown) => readonly Fault[];

export type SchemaName = "problem" | "catalog" | "result" | "certificate" | "study" | "design";

/** Schemas that others refer to by their `$id`. */
const REFERRED_TO: Readonly<Partial<Record<SchemaName, readonly SchemaName[]>>> = { study: ["design"] };

/** Compiles one of the schemas in `shared/schemas`, which takes a tenth of a second. */
export async function loadSchema(schemaName: SchemaName): Promise<SchemaCheck> {
  const schema = await readSchema(schemaName);
  const ajv = new Ajv2020({ allErrors: true, verbose: true, discriminator: true, allowUnionTypes: true });
  for (const keyword of ["quantity", "share", "money"]) ajv.addKeyword(keyword);
  for (const name of REFERRED_TO[schemaName] ?? []) ajv.addSchema(await readSchema(name));
  const validate = ajv.compile(schema);
  return (file, content) => {
    if (validate(content)) return [];
    return (validate.errors ?? []).flatMap((error) => faultOf(error, file));
  };
}

async function readSchema(name: SchemaName): Promise<Readonly<Record<string, unknown>>> {
  const path = fileURLToPath(new URL(`../../shared/schemas/${name}.schema.json`, import.meta.url));
  const schema: unknown = JSON.parse(await readFile(path, "utf8"));
  if (!isObject(schema)) throw new InternalFault(`${path} is no schema`);
  return schema;
}

type ToFault = (error: ErrorObject, place: Place) => Fault | undefined;

/** One fault per schema keyword; the keywords that only repeat what their parts say give none. */
const FAULTS_BY_KEYWORD: Readonly<Record<string, ToFault>> = {
  type: typeFault,
  additionalProperties: unknownKeyFault,
  propertyNames: unknownMapKeyFault,
  required: missingFault,
  enum: (error, place) => ("propertyName" in error ? undefined : choiceFault(error, place, enumOf(error))),
  const: (error, place) => choiceFault(error, place, [String(error.params["allowedValue"])]),
  discriminator: kindFault,
  pattern: (error, place) =>
    "propertyName" in error ? undefined : wrongForm(place, shown(error.data), descriptionOf(error) ?? "another form"),
  uniqueItems: (_error, place) => wrongForm(place, "the same element twice", "each element once"),
  minimum: boundFault,
  maximum: boundFault,
  exclusiveMinimum: boundFault,
  minItems: countFault("elements", "at least"),
  maxItems: countFault("elements", "at most"),
  minLength: countFault("characters", "at least"),
  maxLength: countFault("characters", "at most"),
  if: () => undefined,
  anyOf: () => undefined,
};

function faultOf(error: ErrorObject, file: string): readonly Fault[] {
  const toFault = FAULTS_BY_KEYWORD[error.keyword];
  if (toFault === undefined) throw new InternalFault(`no wording for the schema keyword "${error.keyword}"`);
  const fault = toFault(error, { file, pointer: pointerOf(error) });
  return fault === undefined ? [] : [fault];
}

function pointerOf(error: ErrorObject): string {
  const key = error.params["missingProperty"] ?? error.params["additionalProperty"];
  return typeof key === "string" ? joinPointer(error.instancePath, key) : error.instancePath;
}

function typeFault(error: ErrorObject, place: Place): Fault {
  const { quantity, money, share } = parentOf(error);
  const found = shown(error.data);
  const quantities = (Array.isArray(quantity) ? quantity : [quantity]).filter(isQuantity);
  if (quantities.length > 0) {
    return { code: "quantity", place, found, expected: quantities.map(describeQuantity).join(", or (rotary) ") };
  }
  if (typeof money === "string") return moneyExpected(place, found, money);
  if (share === true) return wrongForm(place, found, 'a share, such as 0.15 or "15 %"');
  return wrongForm(place, found, [error.params["type"]].flat().join(" or "));
}

/** A missing kind is reported by the keyword that tells kinds apart, with the kinds there are. */
function missingFault(error: ErrorObject, place: Place): Fault | undefined {
  if (parentOf(error)["discriminator"] !== undefined) return undefined;
  const key = parameter(error, "missingProperty");
  return missing(place, "no such key", `a key "${key}"${describe(error, key)}`);
}

function unknownKeyFault(error: ErrorObject, place: Place): Fault {
  const key = parameter(error, "additionalProperty");
  return unknownKey(place, key, nearestName(key, propertiesOf(error)));
}

function unknownMapKeyFault(error: ErrorObject, place: Place): Fault {
  const name = parameter(error, "propertyName");
  const { propertyNames } = parentOf(error);
  const known = isObject(propertyNames) ? texts(propertyNames["enum"]) : [];
  const described = isObject(propertyNames) ? propertyNames["description"] : undefined;
  const expected = typeof described === "string" ? described : "a limit id an axis has";
  return unknownName(
    { ...place, pointer: joinPointer(error.instancePath, name) },
    { name, expected, nearest: nearestName(name, known) },
  );
}

function kindFault(error: ErrorObject, place: Place): Fault {
  const { oneOf } = parentOf(error);
  const kinds = (Array.isArray(oneOf) ? oneOf : []).flatMap((branch) => {
    const properties: unknown = isObject(branch) ? branch["properties"] : undefined;
    const kind: unknown = isObject(properties) ? properties["kind"] : undefined;
    return isObject(kind) ? texts([kind["const"]]) : [];
  });
  const at = { ...place, pointer: joinPointer(error.instancePath, "kind") };
  const given: unknown = error.params["tagValue"];
  if (given === undefined) return missing(at, "no such key", `one of ${kinds.join(", ")}`);
  return listFault(given, at, kinds);
}

function choiceFault(error: ErrorObject, place: Place, known: readonly string[]): Fault {
  return listFault(error.data, place, known);
}

function listFault(data: unknown, place: Place, known: readonly string[]): Fault {
  const expected = known.length === 1 ? (known[0] ?? "") : `one of ${known.join(", ")}`;
  if (typeof data !== "string") return wrongForm(place, shown(data), expected);
  return unknownName(place, { name: data, expected, nearest: nearestName(data, known) });
}

function boundFault(error: ErrorObject, place: Place): Fault {
  return outOfRange(place, shown(error.data), `a number ${error.params["comparison"]} ${error.params["limit"]}`);
}

function countFault(what: string, comparison: string): ToFault {
  return (error, place) => wrongForm(place, shown(error.data), `${comparison} ${error.params["limit"]} ${what}`);
}

function describe(error: ErrorObject, key: string): string {
  const { properties } = parentOf(error);
  const property: unknown = isObject(properties) ? properties[key] : undefined;
  const description: unknown = isObject(property) ? property["description"] : undefined;
  return typeof description === "string" ? `: ${description.replace(/\.$/, "")}` : "";
}

function parentOf(error: ErrorObject): Readonly<Record<string, unknown>> {
  return error.parentSchema ?? {};
}

function descriptionOf(error: ErrorObject): string | undefined {
  const { description } = parentOf(error);
  return typeof description === "string" ? description : undefined;
}

function propertiesOf(error: ErrorObject): readonly string[] {
  const { properties } = parentOf(error);
  return isObject(properties) ? Object.keys(properties) : [];
}

function enumOf(error: ErrorObject): readonly string[] {
  return [parentOf(error)["enum"]].flat().map(String);
}

function texts(list: unknown): readonly string[] {
  return Array.isArray(list) ? list.filter((item) => typeof item === "string") : [];
}

function parameter(error: ErrorObject, name: string): string {
  return String(error.params[name]);
}

function isQuantity(name: unknown): name is Quantity {
  return typeof name === "string" && Object.hasOwn(QUANTITIES, name);
}

/** What stands in the file, cut to a readable length. */
function shown(data: unknown): string {
  const text = JSON.stringify(data) ?? "nothing";
  return text.length > 60 ? `${text.slice(0, 57)}…` : text;
}
