import { readFileSync } from "node:fs";
import { posix } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";

const SRC = fileURLToPath(new URL("../src/", import.meta.url));

/** What a file loads as it is loaded itself: neither types nor what is imported inside a function. */
function loadsOf(text: string): string[] {
  const form = /^(?:import|export) (?!type\b)[^"';]*?\bfrom "([^"]+)"|^import "([^"]+)"/gmu;
  return [...text.matchAll(form)].map((match) => match[1] ?? match[2] ?? "");
}

interface Loaded {
  readonly files: ReadonlySet<string>;
  readonly packages: ReadonlySet<string>;
}

/** Everything that comes with a file, by its path below src/. */
function loadedWith(start: string): Loaded {
  const files = new Set([start]);
  const packages = new Set<string>();
  for (const path of files)
    for (const name of loadsOf(readFileSync(`${SRC}/${path}`, "utf8")))
      if (name.startsWith(".")) files.add(posix.join(posix.dirname(path), name));
      else if (!name.startsWith("node:")) packages.add(name.split("/", name.startsWith("@") ? 2 : 1).join("/"));
  return { files, packages };
}

test("the library loads what every problem needs; charts, studies and units bring their packages when asked", () => {
  const { files, packages } = loadedWith("index.ts");
  expect(files.size).toBeGreaterThan(200);
  expect([...packages].toSorted()).toEqual(["ajv", "fast-csv", "highs", "javascript-lp-solver"]);
});

test("the command line loads a parser of its arguments and no part of the library, so that --help comes at once", () => {
  const { files, packages } = loadedWith("cli/main.ts");
  expect([...packages]).toEqual(["commander"]);
  expect([...files].filter((path) => !/^(?:cli|faults|report)\//u.test(path))).toEqual([]);
  expect(files.size).toBeGreaterThan(10);
});

test("what is imported inside a function, or as a type, is not loaded; what is imported beside a type is", () => {
  const text = [
    'import type { A } from "a";',
    'import { type B } from "b";',
    'export { c } from "c";',
    'import "d";',
    '  const { e } = await import("e");',
    'export type * from "f";',
    'import {\n  g,\n} from "g";',
  ].join("\n");
  expect(loadsOf(text)).toEqual(["b", "c", "d", "g"]);
});
