import { parseString } from "fast-csv";
import { expect, test } from "vitest";
import { partsCsv } from "../../src/report/parts-list.ts";
import { optimalDocument } from "./sample-documents.ts";

/** Cells as a CSV reader sees them (RFC 4180). */
async function cells(csv: string): Promise<string[][]> {
  const rows: string[][] = [];
  return new Promise((resolve, reject) => {
    parseString(csv)
      .on("data", (row: string[]) => rows.push(row))
      .on("end", () => resolve(rows))
      .on("error", reject);
  });
}

const EVIL = [
  "=1+1",
  "+1",
  "-1+cmd|' /C calc'!A0",
  "@SUM(1)",
  "\t=1",
  "\r=1",
  "\n=1",
  "  =1",
  "\u0000=1",
  "\uff1d1+1",
  '=HYPERLINK("http://example.invalid","a")',
];

test("the parts list names every part with quantity, price and total", async () => {
  const doc = optimalDocument();
  const [header, ...rows] = await cells(await partsCsv(doc));
  expect(header).toEqual(["kind", "part", "maker", "quantity", "unit price [EUR]", "line total [EUR]", "used by"]);
  expect(rows).toHaveLength(doc.parts.length);
  expect(rows[1]).toEqual(["motor", "M80-2B", "Ostrava Invented", "4", "836.50", "3346.00", "lift"]);
});

// Leading characters from the OWASP page "CSV Injection": = + - @ tab carriage-return, and full-width forms.
test.each(EVIL)("a part called %j is no formula (OWASP, CSV injection)", async (name) => {
  const line = { kind: "motor", id: name, maker: name, quantity: 1, unit_price: 1, used_by: [name] } as const;
  const [, row] = await cells(await partsCsv({ currency: "EUR", parts: [line] }));
  expect([row?.[1], row?.[2], row?.[6]].map((cell) => cell?.[0])).toEqual(["'", "'", "'"]);
  expect(row?.[1]).toBe(`'${name.replace("\u0000", "")}`);
  expect(row).toHaveLength(7);
});

test("quotes, separators and line ends stay inside their cell; harmless names stay as they are", async () => {
  const name = 'M-80 "B", 2;\nnext';
  const line = { kind: "drive", id: name, maker: "A=B", quantity: 3, unit_price: 0.1, used_by: [] } as const;
  const [, row] = await cells(await partsCsv({ currency: "EUR", parts: [line] }));
  expect(row).toEqual(["drive", name, "A=B", "3", "0.10", "0.30", ""]);
});

test("no parts give a header alone", async () => {
  expect(await cells(await partsCsv({ currency: "EUR", parts: [] }))).toHaveLength(1);
});
