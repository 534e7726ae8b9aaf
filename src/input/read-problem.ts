import { basename, dirname, isAbsolute, join } from "node:path";
import type { Result } from "../faults/fault.ts";
import { sortFaults } from "../faults/fault-line.ts";
import type { Catalogue } from "../machine/catalogue.ts";
import type { DefaultUsed, InputFile, Problem } from "../machine/problem.ts";
import type { Caution } from "../machine/result.ts";
import { loadUnits, type UnitReader } from "../units/load-units.ts";
import type { CatalogueReading } from "./catalogue-reading.ts";
import { checkUnique } from "./check-axes.ts";
import { checkNames } from "./check-names.ts";
import { joinPointer } from "./json-pointer.ts";
import { loadTables, tableFiles } from "./load-tables.ts";
import { child, children, isObject, type Node, nodeAt, type Reading } from "./node.ts";
import { type CatalogueFolder, readCatalogues } from "./read-catalogues.ts";
import { readJson } from "./read-json.ts";
import { readMachine } from "./read-machine.ts";
import { readMargins } from "./read-needs.ts";
import { readCaps, readDualSource, readForbid, readSite, readWeights } from "./read-order.ts";
import { loadSchema, type SchemaCheck } from "./schema-faults.ts";
import { optionalTexts, textOr } from "./values.ts";

/** A problem with its catalogues, complete and in SI, and what was assumed on the way. */
export interface ProblemInput {
  readonly problem: Problem;
  readonly catalogue: Catalogue;
  readonly defaults: readonly DefaultUsed[];
  readonly cautions: readonly Caution[];
  readonly inputs: {
    readonly problem: InputFile;
    readonly catalogs: readonly InputFile[];
    /** Absent where the problem names no table. */
    readonly tables?: readonly InputFile[];
  };
}

/** What reading needs and takes time to load: units and schemas. */
interface Tools {
  readonly units: UnitReader;
  readonly checkProblem: SchemaCheck;
  readonly checkAbout: SchemaCheck;
}

/**
 * Reads a problem file and its catalogues: the whole input, or every fault in it, sorted by file and place.
 *
 * @param path - of the problem file; catalogue folders are relative to its folder
 */
export async function readProblem(path: string): Promise<Result<ProblemInput>> {
  const read = await loadProblemReader();
  return read(path);
}

/** `readProblem` for many files: units and schemas are loaded once. */
export async function loadProblemReader(): Promise<typeof readProblem> {
  const [units, checkProblem, checkAbout] = await Promise.all([
    loadUnits(),
    loadSchema("problem"),
    loadSchema("catalog"),
  ]);
  return async (path) => readWith({ units, checkProblem, checkAbout }, path);
}

async function readWith(tools: Tools, path: string): Promise<Result<ProblemInput>> {
  const json = await readJson(path);
  if (!json.ok) return json;
  const { content, input } = json.value;
  const { units, checkAbout, checkProblem } = tools;
  const { reading, root } = await startReading(units, path, content);
  reading.faults.push(...checkProblem(path, content));
  const problem = readContent(root);

  const shelf: CatalogueReading = { units, checkAbout, faults: [], cautions: [], defaults: new Map() };
  const read = await readCatalogues(shelf, foldersOf(root), reading.currency);
  if (shelf.faults.length === 0) checkNames(root, read);

  const faults = [...reading.faults, ...shelf.faults];
  if (faults.length > 0) return { ok: false, faults: sortFaults(faults) };
  const { catalogue, inputs } = read;
  const defaults = [...reading.defaults, ...shelf.defaults.values()];
  const tables = tableFiles(reading.tables);
  const files = { problem: input, catalogs: inputs, ...(tables.length === 0 ? {} : { tables }) };
  return { ok: true, value: { problem, catalogue, defaults, cautions: shelf.cautions, inputs: files } };
}

async function startReading(
  units: UnitReader,
  file: string,
  content: unknown,
): Promise<{ readonly reading: Reading; readonly root: Node }> {
  const bare: Reading = { file, units, currency: currencyOf(content), tables: new Map(), faults: [], defaults: [] };
  const reading = { ...bare, tables: await loadTables(nodeAt(bare, "", content)) };
  return { reading, root: nodeAt(reading, "", content) };
}

function currencyOf(content: unknown): string {
  const weights = isObject(content) ? content["weights"] : undefined;
  const currency = isObject(weights) ? weights["currency"] : undefined;
  return typeof currency === "string" ? currency : "";
}

function readContent(root: Node): Problem {
  const margins = readMargins(child(root, "margins"));
  checkUnique(children(root, "machines"), "machine");
  return {
    title: textOr(root, "title", basename(root.reading.file, ".json")),
    site: readSite(child(root, "site")),
    machines: children(root, "machines").map((machine) => readMachine(machine, margins)),
    weights: readWeights(child(root, "weights")),
    caps: readCaps(child(root, "caps")),
    forbid: readForbid(child(root, "forbid")),
    dualSource: readDualSource(root),
  };
}

function foldersOf(root: Node): readonly CatalogueFolder[] {
  const { file } = root.reading;
  return (optionalTexts(root, "catalogs") ?? []).map((label, index) => ({
    label,
    path: isAbsolute(label) ? label : join(dirname(file), label),
    place: { file, pointer: joinPointer("/catalogs", index) },
  }));
}
