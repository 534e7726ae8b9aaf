import { join } from "node:path";
import { expect, test } from "vitest";
import { bundleOf, isPathBelow } from "../../../../src/study/runs/queue/bundle.ts";
import { isRefusal, jobOf, takenRun } from "../../../../src/study/runs/queue/job.ts";
import type { RunTask } from "../../../../src/study/runs/run.ts";
import { runKey } from "../../../../src/study/runs/run-key.ts";

const HASH = "a".repeat(64);

function task(path: string, catalogs: readonly string[]): RunTask {
  const content = { catalogs, weights: { currency: "EUR" } };
  const files = catalogs.map((label) => ({ path: join(path, "..", label, "catalog.json"), sha256: HASH }));
  const settings = { engine: "simplex", timeLimit: Number.POSITIVE_INFINITY } as const;
  return { key: runKey({ content, files, settings }), path, content, files, settings };
}

test.each([
  ["beside the problem", "p.json", ["maker"], "p.json", ["maker/catalog.json"]],
  [
    "above it",
    "/w/problems/p.json",
    ["../catalogs/a", "b"],
    "problems/p.json",
    ["catalogs/a/catalog.json", "problems/b/catalog.json"],
  ],
  ["further above", "/v/w/problems/p.json", ["../../x"], "w/problems/p.json", ["x/catalog.json"]],
  ["up and down again", "/w/problems/p.json", ["../problems/x"], "problems/p.json", ["problems/x/catalog.json"]],
])("catalogues %s lie alike below the root", (_name, path, catalogs, problem, files) => {
  const bundle = bundleOf(task(path, catalogs));
  expect(bundle).toEqual({ ok: true, value: { problem, files: files.map((file) => ({ path: file, sha256: HASH })) } });
});

test.each([
  ["a whole path", "/w/problems/p.json", "/catalogs/a"],
  ["more folders up than there are", "/w/p.json", "../../a"],
])("%s is a fault at its place", (_name, path, label) => {
  const bundle = bundleOf(task(path, ["../b", label]));
  const place = { file: path, pointer: "/catalogs/1" };
  expect(bundle).toMatchObject({ ok: false, faults: [{ place, found: JSON.stringify(label) }] });
});

test("a run comes out of the queue as it went in", () => {
  const one = task("/w/problems/p.json", ["../catalogs/a"]);
  for (const timeLimit of [Number.POSITIVE_INFINITY, 30]) {
    const settings = { engine: "highs", timeLimit } as const;
    const asked = { ...one, settings, key: runKey({ ...one, settings }) };
    const bundle = bundleOf(asked);
    if (!bundle.ok) throw new Error("no bundle");
    const sent: unknown = JSON.parse(JSON.stringify(jobOf(asked, bundle.value)));
    expect(takenRun(asked.key, sent)).toEqual({
      key: asked.key,
      content: asked.content,
      settings,
      problem: "problems/p.json",
      files: [{ path: "catalogs/a/catalog.json", sha256: HASH }],
    });
  }
});

test("a run under another key is refused, such as one of another version", () => {
  const one = task("/w/p.json", ["a"]);
  const bundle = bundleOf(one);
  if (!bundle.ok) throw new Error("no bundle");
  const run = takenRun("b".repeat(64), JSON.parse(JSON.stringify(jobOf(one, bundle.value))));
  expect(isRefusal(run)).toBe(true);
});

test.each([
  null,
  1,
  [],
  {},
  { content: "{}" },
  { content: 1, problem: "p", files: {}, engine: "simplex", timeLimit: null },
])("%j is no run", (data) => {
  expect(takenRun(HASH, data)).toHaveProperty("refused");
});

test.each(["a", "a/b.csv", "a b/ü.csv", "..a/b"])("%j stays below", (path) => {
  expect(isPathBelow(path)).toBe(true);
});

test.each([
  "",
  "/a",
  "..",
  "../a",
  "a/../b",
  "a//b",
  "./a",
  "a/",
  "C:/a",
  "a\\..\\b",
  "a\u0000b",
  "a".repeat(501),
  1,
  null,
])("%j does not, or may not everywhere", (path) => {
  expect(isPathBelow(path)).toBe(false);
});
