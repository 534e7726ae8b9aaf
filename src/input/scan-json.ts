import type { Fault } from "../faults/fault.ts";
import { duplicate, malformed, tooLarge, unknownKey } from "../faults/wordings.ts";
import { joinPointer } from "./json-pointer.ts";
import { SIZE_LIMITS } from "./size-limits.ts";

interface Scan {
  readonly file: string;
  readonly text: string;
  at: number;
  readonly faults: Fault[];
}

const TOKENS = {
  space: "[ \\t\\n\\r]*",
  string: '"(?:[^"\\\\\\u0000-\\u001f]+|\\\\(?:["\\\\/bfnrt]|u[0-9a-fA-F]{4}))*"',
  number: "-?(?:0|[1-9]\\d*)(?:\\.\\d+)?(?:[eE][+-]?\\d+)?",
  word: "true|false|null",
} as const;

/**
 * Walks a JSON text for what the built-in parser leaves out or cannot place: line and column of a slip, keys given
 * twice, numbers beyond the range of a double, nesting beyond the bound, and keys that reach prototypes.
 *
 * Source: grammar of RFC 8259.
 */
export function scanJson(file: string, text: string): readonly Fault[] {
  const scan: Scan = { file, text, at: 0, faults: [] };
  const isWhole = scanValue(scan, "", 1);
  skipSpace(scan);
  if (isWhole && scan.at < text.length) slip(scan, "nothing after the end of the document");
  return scan.faults;
}

function scanValue(scan: Scan, pointer: string, depth: number): boolean {
  skipSpace(scan);
  const first = scan.text.charAt(scan.at);
  if (first === "{" || first === "[") {
    if (depth <= SIZE_LIMITS.nesting)
      return first === "{" ? scanObject(scan, pointer, depth) : scanList(scan, pointer, depth);
    scan.faults.push(tooLarge({ file: scan.file, pointer }, "deeper nesting", `at most ${SIZE_LIMITS.nesting} levels`));
    return false;
  }
  return scanPlain(scan, pointer);
}

function scanPlain(scan: Scan, pointer: string): boolean {
  if (take(scan, "string") !== undefined || take(scan, "word") !== undefined) return true;
  const number = take(scan, "number");
  if (number === undefined) return slip(scan, "a value: text in double quotes, a number, true, false, null, { or [");
  if (!Number.isFinite(Number(number))) {
    scan.faults.push(tooLarge({ file: scan.file, pointer }, number, "a number a computer can hold"));
  }
  return true;
}

function scanObject(scan: Scan, pointer: string, depth: number): boolean {
  const keys = new Set<string>();
  const member = (): boolean => {
    skipSpace(scan);
    const token = take(scan, "string");
    if (token === undefined) return slip(scan, "a key in double quotes");
    const key = String(JSON.parse(token));
    noteKey(scan, { pointer, key, isKnown: keys.has(key) });
    keys.add(key);
    if (!takeMark(scan, ":")) return slip(scan, '":" after the key');
    return scanValue(scan, joinPointer(pointer, key), depth + 1);
  };
  return scanMembers(scan, "}", member);
}

function scanList(scan: Scan, pointer: string, depth: number): boolean {
  let index = 0;
  return scanMembers(scan, "]", () => scanValue(scan, `${pointer}/${index++}`, depth + 1));
}

function scanMembers(scan: Scan, close: "}" | "]", member: () => boolean): boolean {
  scan.at += 1;
  if (takeMark(scan, close)) return true;
  for (;;) {
    if (!member()) return false;
    if (takeMark(scan, close)) return true;
    if (!takeMark(scan, ",")) return slip(scan, `"," or "${close}"`);
  }
}

function noteKey(
  scan: Scan,
  says: { readonly pointer: string; readonly key: string; readonly isKnown: boolean },
): void {
  const { pointer, key, isKnown } = says;
  const place = { file: scan.file, pointer: joinPointer(pointer, key) };
  if (key === "__proto__") scan.faults.push(unknownKey(place, key, undefined));
  if (isKnown) scan.faults.push(duplicate(place, `key ${JSON.stringify(key)} a second time`, "each key once"));
}

function skipSpace(scan: Scan): void {
  take(scan, "space");
}

function takeMark(scan: Scan, mark: string): boolean {
  skipSpace(scan);
  if (!scan.text.startsWith(mark, scan.at)) return false;
  scan.at += mark.length;
  return true;
}

function take(scan: Scan, token: keyof typeof TOKENS): string | undefined {
  const pattern = new RegExp(TOKENS[token], "y");
  pattern.lastIndex = scan.at;
  const found = pattern.exec(scan.text)?.[0];
  scan.at += found?.length ?? 0;
  return found;
}

function slip(scan: Scan, expected: string): false {
  const before = scan.text.slice(0, scan.at).split("\n");
  const column = (before.at(-1)?.length ?? 0) + 1;
  const character = scan.text.charAt(scan.at);
  const found = character === "" ? "the end of the file" : JSON.stringify(character);
  const place = { file: scan.file, pointer: "" };
  scan.faults.push(malformed(place, `${found} in line ${before.length}, column ${column}`, expected));
  return false;
}
