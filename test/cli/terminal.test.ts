import { expect, test } from "vitest";
import { progressPrinter } from "../../src/cli/progress.ts";
import { styleFor } from "../../src/cli/style.ts";
import { isColourful } from "../../src/cli/terminal.ts";
import { fakeTerminal } from "./fake-terminal.ts";

// NO_COLOR as published at https://no-color.org: present and not an empty string, regardless of its value.
test.each([
  ["a terminal", true, {}, true],
  ["a pipe", false, {}, false],
  ["NO_COLOR=1", true, { NO_COLOR: "1" }, false],
  ["NO_COLOR=false", true, { NO_COLOR: "false" }, false],
  ["an empty NO_COLOR", true, { NO_COLOR: "" }, true],
  ["CI", true, { CI: "true" }, false],
  ["a dumb terminal", true, { TERM: "dumb" }, false],
] as const)("colour on %s", async (_name, isTerminal, env, expected) => {
  const terminal = fakeTerminal(isTerminal, env);
  expect(isColourful(terminal.out, terminal.env)).toBe(expected);
  const style = await styleFor(true, terminal);
  expect(style.strong("x") !== "x").toBe(expected);
});

test("--no-color wins over a terminal", async () => {
  const style = await styleFor(false, fakeTerminal(true));
  expect([style.strong, style.dim, style.warn, style.good].map((paint) => paint("x"))).toEqual(["x", "x", "x", "x"]);
});

test("progress on a terminal rewrites one line, cuts it to the width and clears it at the end", () => {
  const terminal = fakeTerminal(true);
  const progress = progressPrinter(false, terminal);
  progress.show({ phase: "judge", done: 3, total: 6 });
  progress.show({ phase: "judge", done: 3, total: 6 });
  progress.show({ phase: "solve", note: "x".repeat(100) });
  progress.end();
  const lines = terminal.told().split("\r\u001b[2K");
  expect(lines).toHaveLength(4);
  expect(lines[1]).toBe("judging candidates 3 of 6");
  expect(lines[2]).toHaveLength(39);
  expect(terminal.told()).not.toContain("\n");
});

test.each([
  [false, {}],
  [true, { CI: "1" }],
])("progress elsewhere is a plain line per phase", (isTerminal, env) => {
  const terminal = fakeTerminal(isTerminal, env);
  const progress = progressPrinter(false, terminal);
  for (const done of [1, 2, 3]) progress.show({ phase: "judge", done, total: 3 });
  progress.show({ phase: "solve" });
  progress.end();
  expect(terminal.told()).toBe("judging candidates ...\nsolving ...\n");
});

test("quiet progress says nothing", () => {
  const terminal = fakeTerminal(true);
  const progress = progressPrinter(true, terminal);
  progress.show({ phase: "solve" });
  progress.end();
  expect(terminal.told()).toBe("");
});
