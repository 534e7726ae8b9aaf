import { basename, dirname, isAbsolute, join } from "node:path";
import type { Result } from "../../faults/fault.ts";
import { sortFaults } from "../../faults/fault-line.ts";
import { duplicate, missing, unreadable, wrongForm } from "../../faults/wordings.ts";
import { checkUnique } from "../../input/check-axes.ts";
import { pointerSteps } from "../../input/json-pointer.ts";
import { addFault, child, children, has, member, type Node, nodeAt, placeOf, type Reading } from "../../input/node.ts";
import { isInside } from "../../input/path-inside.ts";
import { readJson } from "../../input/read-json.ts";
import type { VariantReader } from "../../input/read-problem.ts";
import { loadSchema } from "../../input/schema-faults.ts";
import { type CsvRow, streamCsv } from "../../input/stream-csv.ts";
import { optionalChoice, optionalNumber, optionalQuantity, optionalText, textOr } from "../../input/values.ts";
import type { ModelOrder } from "../analysis/term.ts";
import type { Factor } from "./factor.ts";
import { givenPoints } from "./given-points.ts";
import { readConstraint } from "./read-constraint.ts";
import { readFactor } from "./read-factor.ts";
import type { DesignChoice, Response, RunSettings, Study } from "./study.ts";

/**
 * Reads a study file and its problem: the study, or every fault in it. Whether the problem can take the values is seen once
 * there are points (`misfits`).
 */
export async function readStudy(path: string, reader: VariantReader): Promise<Result<Study>> {
  const json = await readJson(path);
  if (!json.ok) return json;
  const { content, input } = json.value;
  const reading: Reading = {
    file: path,
    units: reader.units,
    currency: "",
    tables: new Map(),
    faults: [],
    defaults: [],
  };
  const root = nodeAt(reading, "", content);
  reading.faults.push(...(await loadSchema("study"))(path, content));
  const problem = await readBase(root, reader);
  if (problem === undefined) return { ok: false, faults: sortFaults(reading.faults) };
  const study = await readContent(root, { problem, file: input });
  return reading.faults.length > 0 ? { ok: false, faults: sortFaults(reading.faults) } : { ok: true, value: study };
}

type Base = Pick<Study, "problem" | "file">;

/** The problem that is varied; it has to be without faults before it is. */
async function readBase(root: Node, reader: VariantReader): Promise<Base["problem"] | undefined> {
  const label = optionalText(root, "problem");
  if (label === undefined) return undefined;
  const path = isAbsolute(label) ? label : join(dirname(root.reading.file), label);
  const json = await readJson(path);
  const read = json.ok ? await reader.read(path, json.value.content) : json;
  if (json.ok && read.ok) return { path, content: json.value.content };
  const isAbsent = !json.ok && json.faults.some(({ code }) => code === "unreadable");
  const faults = isAbsent ? [unreadable(placeOf(root, "problem"), JSON.stringify(label), "a problem file")] : [];
  root.reading.faults.push(...(isAbsent || read.ok ? faults : read.faults));
  return undefined;
}

async function readContent(root: Node, base: Base): Promise<Study> {
  const factors = readFactors(root, "factors", base.problem.content);
  const noise = has(root, "noise") ? readFactors(root, "noise", base.problem.content) : [];
  reportShared(root, factors, noise);
  return {
    ...base,
    title: textOr(root, "title", basename(root.reading.file, ".json")),
    seed: optionalNumber(root, "seed") ?? 1,
    factors,
    constraints: children(root, "constraints").map((node) => readConstraint(node, factors)),
    design: await readDesign(root, "design", factors),
    moreRuns: optionalNumber(root, "more_runs") ?? 0,
    noise,
    noiseDesign: has(root, "noise_design") ? await readDesign(root, "noise_design", noise) : { kind: "full-factorial" },
    responses: readResponses(root),
    solve: readSettings(child(root, "solve")),
    model: optionalChoice<ModelOrder>(child(root, "analysis"), "model", ["linear", "interactions", "quadratic"]),
  };
}

function readFactors(root: Node, key: "factors" | "noise", problem: unknown): readonly Factor[] {
  const nodes = children(root, key);
  checkUnique(nodes, "factor");
  return nodes.map((node) => readFactor(node, problem));
}

function reportShared(root: Node, factors: readonly Factor[], noise: readonly Factor[]): void {
  const ids = new Set(factors.map(({ id }) => id));
  for (const [index, { id }] of noise.entries()) {
    if (ids.has(id))
      addFault(
        root,
        duplicate(
          { file: root.reading.file, pointer: `/noise/${index}/id` },
          JSON.stringify(id),
          "an id that no factor has",
        ),
      );
  }
  if (has(root, "noise_design") && noise.length === 0) {
    addFault(root, missing(placeOf(root, "noise"), "a noise_design without noise", "the factors it is for"));
  }
}

async function readDesign(
  root: Node,
  key: "design" | "noise_design",
  factors: readonly Factor[],
): Promise<DesignChoice> {
  const node = child(root, key);
  if (member(node, "kind") !== "given") return requestOf(node);
  const file = optionalText(node, "file") ?? "";
  if (!isInside(file)) {
    addFault(node, wrongForm(placeOf(node, "file"), JSON.stringify(file), "a file in the study's folder"));
    return { kind: "given", points: [] };
  }
  const path = join(dirname(root.reading.file), file);
  const rows: CsvRow[] = [];
  const outcome = await streamCsv(path, (row) => rows.push(row));
  if (outcome.kind === "absent")
    addFault(node, unreadable(placeOf(node, "file"), JSON.stringify(file), "a CSV file of runs"));
  if (outcome.kind === "faulty") addFault(node, outcome.fault);
  return {
    kind: "given",
    points: outcome.kind === "read" ? givenPoints(root.reading, { file: path, rows }, factors) : [],
  };
}

/** What passes its schema is a request; without one there are faults, and nothing is made. */
function requestOf({ members, reading }: Node): DesignChoice {
  return isRequest(members, reading.faults.length) ? members : { kind: "full-factorial" };
}

function isRequest(_members: unknown, faults: number): _members is DesignChoice {
  return faults === 0;
}

/** What is read from each result when the study does not say. */
const USUAL_RESPONSES: readonly Response[] = [
  { id: "total", at: ["objective", "total"], want: undefined },
  { id: "part-numbers", at: ["distinct", "parts"], want: undefined },
];

function readResponses(root: Node): readonly Response[] {
  const nodes = children(root, "responses");
  checkUnique(nodes, "response");
  if (nodes.length === 0) return USUAL_RESPONSES;
  return nodes.map((node) => ({
    id: optionalText(node, "id") ?? "",
    at: pointerSteps(optionalText(node, "at") ?? "") ?? [],
    want: optionalChoice<"less" | "more">(node, "want", ["less", "more"]),
  }));
}

function readSettings(node: Node): RunSettings {
  const timeLimit = optionalQuantity(node, "time_limit", { quantity: "time", range: "positive" });
  return {
    engine: optionalChoice<RunSettings["engine"]>(node, "engine", ["simplex", "highs"]) ?? "simplex",
    timeLimit: timeLimit ?? Infinity,
  };
}
