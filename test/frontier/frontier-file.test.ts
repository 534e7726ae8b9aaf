import { readFileSync } from "node:fs";
import { Ajv2020 } from "ajv/dist/2020.js";
import { expect, test } from "vitest";
import { KINDS, runFrontier } from "../../src/cli/frontier.ts";
import { frontierFile } from "../../src/frontier-file.ts";
import { FRONTIER_KINDS, type FrontierDocument, type FrontierOptions } from "../../src/machine/frontier.ts";
import { documentText } from "../../src/report/document-text.ts";
import { frontierCsv } from "../../src/report/frontier-csv.ts";
import { frontierText } from "../../src/report/frontier-text.ts";
import { PLAIN_STYLE } from "../../src/report/text-style.ts";
import { fakeTerminal } from "../cli/fake-terminal.ts";
import { problemPath } from "../result/run-file.ts";

const schema = JSON.parse(readFileSync("shared/schemas/frontier.schema.json", "utf8"));
const validate = new Ajv2020({ allErrors: true, strict: true, strictTypes: false, strictRequired: false }).compile(
  schema,
);

async function frontierOf(stem: string, options: Partial<FrontierOptions> = {}): Promise<FrontierDocument> {
  const swept = await frontierFile(problemPath(stem), {
    engine: "simplex",
    timeLimit: Number.POSITIVE_INFINITY,
    now: () => performance.now() / 1000,
    aborted: () => false,
    progress: () => undefined,
    by: "gearboxes",
    withoutVariety: false,
    ...options,
  });
  if (!swept.ok) throw new Error(JSON.stringify(swept.faults));
  return swept.value;
}

const feeder = await frontierOf("drum-feeder-imperial");
const both = await frontierOf("drum-feeder-imperial", { and: "makers", withoutVariety: true });
const stuck = await frontierOf("stone-lift-infeasible");
const stopped = await frontierOf("drum-feeder-imperial", { aborted: () => true });

test.each([
  ["one count", feeder],
  ["two counts", both],
  ["no order", stuck],
  ["a stopped sweep", stopped],
] as const)(
  "the document of %s is valid by its schema, its print 80 columns wide, its table whole",
  async (_name, doc) => {
    validate(JSON.parse(documentText(doc)));
    expect(validate.errors).toBeNull();
    const lines = frontierText(doc, PLAIN_STYLE).split("\n");
    expect(lines.filter((line) => line.length > 80)).toEqual([]);
    const rows = (await frontierCsv(doc)).trimEnd().split("\n");
    expect(rows).toHaveLength(doc.points.length + 1);
  },
);

test.each([
  ["an unknown member", { ...feeder, winner: true }],
  ["an order called infeasible", { ...feeder, points: feeder.points.map((one) => ({ ...one, status: "infeasible" })) }],
  ["a gap under proven lowest", { ...feeder, points: feeder.points.map((one) => ({ ...one, gap: 0.1 })) }],
  ["another count", { ...feeder, by: "colours" }],
])("%s fails the schema", (_name, doc) => {
  expect(validate(JSON.parse(JSON.stringify(doc)))).toBe(false);
});

test("one gearbox fewer: the parts that go and come, on which axis, and what it costs", () => {
  expect(feeder.complete).toBe(true);
  const [best, without] = feeder.points;
  expect(best).toMatchObject({ cap: null, status: "optimal", objective: { total: 1046.21 }, changes: null });
  expect(without).toMatchObject({ cap: 0, status: "optimal", distinct: { gearboxes: 0 } });
  expect(without?.changes?.goes.map(({ id }) => id)).toContain("PE60-7");
  expect(without?.changes?.axes).toMatchObject([{ axis: "drum", from: { gearbox: "PE60-7" }, to: { gearbox: null } }]);
  const text = frontierText(feeder, PLAIN_STYLE);
  expect(text).toMatch(/0 gearboxes\s+EUR [\d,.]+ dearer than with 1\. Out: .*gearbox\s+PE60-7/s);
  expect(text).toMatch(/From 1 gearbox to 0: EUR\s+501\.33\s+more; the problem\s+charges\s+nothing\s+for\s+variety\./);
  const charges = { ...feeder.charges, gearbox: 200 };
  const charged = frontierText({ ...feeder, charges }, PLAIN_STYLE).replaceAll(/\s+/g, " ");
  expect(charged).toContain("From 1 gearbox to 0: the charge for variety falls by 200, everything else costs EUR");
});

test("stopped at once: what is not proved is not claimed", () => {
  expect(stopped.complete).toBe(false);
  expect(stopped.points.filter(({ status }) => status === "optimal" || status === "infeasible")).toEqual([]);
  expect(frontierText(stopped, PLAIN_STYLE)).toContain("STOPPED");
});

test("the command offers the counts of the library, and turns down two of the same", async () => {
  expect(KINDS).toEqual(FRONTIER_KINDS);
  const terminal = fakeTerminal(false);
  const flags = { by: "motors", and: "motors", engine: "simplex", color: true } as const;
  expect(await runFrontier("x.json", flags, { frontierFile, terminal })).toBe(2);
  expect(terminal.told()).toContain("they must differ");
});

test("a sweep that was not completed exits 5, one without any order 4, another 0", async () => {
  const exits = [stopped, stuck, feeder].map(async (document) => {
    const flags = { by: "gearboxes", engine: "simplex", color: true, quiet: true } as const;
    const tools = { frontierFile: async () => ({ ok: true, value: document }) as const, terminal: fakeTerminal(false) };
    return runFrontier("x.json", flags, tools);
  });
  expect(await Promise.all(exits)).toEqual([5, 4, 0]);
});
