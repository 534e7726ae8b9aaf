import { mkdir, mkdtemp, readdir, readFile, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { writeFiles } from "../../src/cli/write-files.ts";

let folder = "";
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "fewframe-"));
});
afterEach(async () => rm(folder, { recursive: true }));

test("files are written whole into folders made as needed, and nothing else is left", async () => {
  await writeFiles([
    { path: join(folder, "a/b/x.txt"), text: "x\n" },
    { path: join(folder, "a/b/y.txt"), text: "y\n" },
  ]);
  expect((await readdir(join(folder, "a/b"))).toSorted()).toEqual(["x.txt", "y.txt"]);
  expect(await readFile(join(folder, "a/b/x.txt"), "utf8")).toBe("x\n");
});

test("when one file cannot be written, the existing ones keep their content and no temporary one stays", async () => {
  const [kept, blocked] = [join(folder, "kept.txt"), join(folder, "file", "x.txt")];
  await writeFile(kept, "before");
  await writeFile(join(folder, "file"), "not a folder");
  const files = [
    { path: kept, text: "after" },
    { path: blocked, text: "x" },
  ];
  await expect(writeFiles(files)).rejects.toThrow(/cannot write the output/);
  expect(await readFile(kept, "utf8")).toBe("before");
  expect((await readdir(folder)).toSorted()).toEqual(["file", "kept.txt"]);
});

test("a folder in the place of a file is an error, and is left alone", async () => {
  await mkdir(join(folder, "x.txt"));
  await expect(writeFiles([{ path: join(folder, "x.txt"), text: "x" }])).rejects.toThrow(/cannot write the output/);
  expect(await readdir(folder)).toEqual(["x.txt"]);
});
