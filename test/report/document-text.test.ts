import { expect, test } from "vitest";
import { InternalFault } from "../../src/faults/fault.ts";
import { documentText } from "../../src/report/document-text.ts";
import { optimalDocument } from "./sample-documents.ts";

test("the last bits of a sum do not change the bytes", () => {
  const text = documentText(optimalDocument({ bound: 0.1 + 0.2, gap: 0 }));
  expect(text).toBe(documentText(optimalDocument({ bound: 0.3, gap: -0 })));
  expect(text).toContain('"bound": 0.3,');
  expect(text.endsWith("}\n")).toBe(true);
});

test("whole numbers of any size and ten significant digits of the rest are kept", () => {
  const text = documentText(optimalDocument({ bound: 123_456_789_012, timing: { solve: 1 / 3 } }));
  expect(JSON.parse(text)).toMatchObject({ bound: 123_456_789_012, timing: { solve: 0.3333333333 } });
});

test("members keep the order they were built in", () => {
  const doc = optimalDocument();
  expect(Object.keys(JSON.parse(documentText(doc)))).toEqual(Object.keys(doc));
});

test("a number that JSON cannot say is our own mistake", () => {
  expect(() => documentText(optimalDocument({ bound: Number.NaN }))).toThrow(InternalFault);
});
