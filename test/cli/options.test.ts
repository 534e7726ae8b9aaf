import { InvalidArgumentError } from "commander";
import { expect, test } from "vitest";
import { positiveNumber } from "../../src/cli/options.ts";

test.each([
  ["30", 30],
  ["0.5", 0.5],
  ["1e3", 1000],
])("%s is a positive number", (text, value) => {
  expect(positiveNumber(text)).toBe(value);
});

test.each(["0", "-1", "", " ", "ten", "1s", "Infinity", "NaN"])("%j is turned down as a positive number", (text) => {
  expect(() => positiveNumber(text)).toThrow(InvalidArgumentError);
});
