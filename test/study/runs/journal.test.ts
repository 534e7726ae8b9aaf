import { appendFileSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { openJournal, StudyInUse } from "../../../src/study/runs/journal.ts";
import type { RunRecord } from "../../../src/study/runs/run.ts";
import { temporaryFolder } from "../study-folder.ts";

function record(key: string, reason: string | null = null): RunRecord {
  return { key, status: "failed", reason, result: null };
}

test("what was added is known when it is opened again, in the order it came", async () => {
  const path = join(await temporaryFolder(), "deep", "j.jsonl");
  const first = openJournal(path);
  for (const key of ["b", "a"]) first.add(record(key, `reason of ${key}`));
  first.close();
  const second = openJournal(path);
  expect([...second.known.values()]).toEqual(["b", "a"].map((key) => record(key, `reason of ${key}`)));
  second.close();
});

test("a key is taken once: the first record stays", async () => {
  const path = join(await temporaryFolder(), "j.jsonl");
  const journal = openJournal(path);
  journal.add(record("a", "first"));
  journal.add(record("a", "second"));
  expect(journal.known.get("a")?.reason).toBe("first");
  expect(readFileSync(path, "utf8").trimEnd().split("\n")).toHaveLength(1);
  journal.close();
});

test("cut off at any byte, it keeps every whole line and goes on after it", async () => {
  const path = join(await temporaryFolder(), "j.jsonl");
  const whole = [record("a", "äöü"), record("b"), record("c")].map((one) => `${JSON.stringify(one)}\n`).join("");
  const bytes = Buffer.from(whole);
  for (let length = 0; length <= bytes.length; length += 1) {
    writeFileSync(path, bytes.subarray(0, length));
    const lines = bytes.subarray(0, length).filter((byte) => byte === 10).length;
    const journal = openJournal(path);
    expect(journal.known.size).toBe(lines);
    journal.add(record("d"));
    journal.close();
    const again = openJournal(path);
    expect([...again.known.keys()]).toEqual([...["a", "b", "c"].slice(0, lines), "d"]);
    again.close();
  }
});

test("lines that are no records are passed over", async () => {
  const path = join(await temporaryFolder(), "j.jsonl");
  writeFileSync(path, '{"key":3}\nnonsense\n[]\n');
  appendFileSync(path, `${JSON.stringify(record("a"))}\n`);
  const journal = openJournal(path);
  expect([...journal.known.keys()]).toEqual(["a"]);
  journal.close();
});

test("two processes do not work on one journal; the lock of one that is gone is taken over", async () => {
  const path = join(await temporaryFolder(), "j.jsonl");
  writeFileSync(`${path}.lock`, String(process.ppid));
  expect(() => openJournal(path)).toThrow(StudyInUse);
  writeFileSync(`${path}.lock`, "999999999");
  const journal = openJournal(path);
  journal.add(record("a"));
  journal.close();
  expect(() => readFileSync(`${path}.lock`)).toThrow(/ENOENT/u);
});
