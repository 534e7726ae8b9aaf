import { isObject } from "../../input/node.ts";

/** A way into a document, step by step. */
export type Path = readonly string[];

/** Keys that an object inherits, which no document has of its own. */
const INHERITED = new Set(["__proto__", "constructor", "prototype"]);

/**
 * The places a pointer leads to. Beside JSON Pointer, the `id` of an entry may stand for its index in a list, and `*` for
 * every entry that has what comes after. A last key that is absent counts as there where `mayAdd` says so, and with it
 * objects on the way to it.
 */
export function placesOf(document: unknown, steps: Path, mayAdd: boolean): readonly Path[] {
  return steps.some((step) => INHERITED.has(step)) ? [] : follow(document, steps, { mayAdd, isOneOfMany: false });
}

interface Following {
  readonly mayAdd: boolean;
  /** Below an asterisk entries that lack what comes after are passed over, not filled in. */
  readonly isOneOfMany: boolean;
}

function follow(value: unknown, [step, ...rest]: Path, how: Following): readonly Path[] {
  if (step === undefined) return [[]];
  if (step === "*") {
    return keysOf(value).flatMap((key) => below(value, [key, ...rest], { ...how, isOneOfMany: true }));
  }
  const key = Array.isArray(value) ? entryKey(value, step) : step;
  if (key !== undefined && hasOwn(value, key)) return below(value, [key, ...rest], how);
  const canAdd = how.mayAdd && !how.isOneOfMany && isObject(value) && !rest.includes("*");
  return canAdd ? [[step, ...rest]] : [];
}

function below(value: unknown, [key, ...rest]: Path, how: Following): readonly Path[] {
  if (key === undefined) return [];
  return follow(memberOf(value, key), rest, how).map((path) => [key, ...path]);
}

function entryKey(list: readonly unknown[], step: string): string | undefined {
  if (/^(?:0|[1-9]\d*)$/u.test(step) && Number(step) < list.length) return step;
  const index = list.findIndex((entry) => isObject(entry) && entry["id"] === step);
  return index < 0 ? undefined : String(index);
}

function keysOf(value: unknown): string[] {
  if (Array.isArray(value)) return value.map((_, index) => String(index));
  return isObject(value) ? Object.keys(value) : [];
}

function hasOwn(value: unknown, key: string): boolean {
  return typeof value === "object" && value !== null && Object.hasOwn(value, key);
}

function memberOf(value: unknown, key: string): unknown {
  if (Array.isArray(value)) return value[Number(key)];
  return isObject(value) && Object.hasOwn(value, key) ? value[key] : undefined;
}

/** What stands at a place; undefined when there is nothing. */
export function valueAt(document: unknown, path: Path): unknown {
  return path.reduce<unknown>(memberOf, document);
}

/** The document with another value at a place; objects that are missing on the way are made. */
export function withValue(document: unknown, [key, ...rest]: Path, value: unknown): unknown {
  if (key === undefined) return value;
  if (Array.isArray(document)) return document.with(Number(key), withValue(document[Number(key)], rest, value));
  const members = isObject(document) ? document : {};
  return { ...members, [key]: withValue(memberOf(members, key), rest, value) };
}

/** The names that could stand where a pointer leads nowhere: keys, and ids of list entries. */
export function namesNear(
  document: unknown,
  steps: Path,
): { readonly step: string; readonly names: readonly string[] } {
  const missing = steps.findIndex((_, index) => placesOf(document, steps.slice(0, index + 1), false).length === 0);
  const [parent = []] = placesOf(document, steps.slice(0, Math.max(missing, 0)), false);
  const value = valueAt(document, parent);
  const ids = Array.isArray(value) ? value.flatMap((entry) => (isObject(entry) ? [String(entry["id"])] : [])) : [];
  return { step: steps[missing] ?? "", names: [...keysOf(value), ...ids] };
}
