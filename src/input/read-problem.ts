import { basename, dirname, isAbsolute, join } from "node:path";
import type { Result } from "../faults/fault.ts";
import { sortFaults } from "../faults/fault-line.ts";
import type { Catalogue } from "../machine/catalogue.ts";
import type { DefaultUsed, InputFile, Problem } from "../machine/problem.ts";
import type { Caution } from "../machine/result.ts";
import { loadUnits, type UnitReader } from "../units/load-units.ts";
import {
  type CatalogueSource,
  type CataloguesKnown,
  catalogueSource,
  rememberedCatalogues,
} from "./catalogue-source.ts";
import { checkUnique } from "./check-axes.ts";
import { checkNames } from "./check-names.ts";
import { joinPointer } from "./json-pointer.ts";
import { loadTable, loadTables, rememberedTables, type TableSource, tableFiles } from "./load-tables.ts";
import { child, children, isObject, type Node, nodeAt, type Reading } from "./node.ts";
import type { CatalogueFolder } from "./read-catalogues.ts";
import { type JsonContent, jsonContent, readJson } from "./read-json.ts";
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

/** What reading needs and takes time to load: units and schemas, and where catalogues and tables come from. */
interface Tools {
  readonly units: UnitReader;
  readonly checkProblem: SchemaCheck;
  readonly catalogues: CatalogueSource;
  readonly tables: TableSource;
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
  const tools = await loadTools();
  return async (path) => {
    const json = await readJson(path);
    return json.ok ? readWith(tools, path, json.value) : json;
  };
}

/** The parts that a problem picks from, and the catalogue and table files it is read from. */
export interface Sources {
  readonly catalogue: Catalogue;
  readonly files: readonly InputFile[];
}

/** Reads variants of a problem, given as content in place of the file at the path that their own paths start from. */
export interface VariantReader {
  readonly read: (path: string, content: unknown) => Promise<Result<ProblemInput>>;
  /** What such a content is read from, as far as it can be read. */
  readonly sourcesOf: (path: string, content: unknown) => Promise<Sources>;
  readonly units: UnitReader;
}

/** A reader of variants: catalogues and tables are read once and count as unchanged from then on. */
export async function loadVariantReader(): Promise<VariantReader> {
  const bare = await loadTools();
  const tools = { ...bare, catalogues: rememberedCatalogues(bare.catalogues), tables: rememberedTables() };
  return {
    read: async (path, content) => readWith(tools, path, jsonContent(path, content)),
    sourcesOf: async (path, content) => {
      const { reading, root } = await startReading(tools, path, content);
      const { read } = await tools.catalogues(foldersOf(root), reading.currency);
      return { catalogue: read.catalogue, files: [...read.inputs, ...tableFiles(reading.tables)] };
    },
    units: tools.units,
  };
}

async function loadTools(): Promise<Tools> {
  const [units, checkProblem, checkAbout] = await Promise.all([
    loadUnits(),
    loadSchema("problem"),
    loadSchema("catalog"),
  ]);
  return { units, checkProblem, catalogues: catalogueSource({ units, checkAbout }), tables: loadTable };
}

async function readWith(tools: Tools, path: string, { content, input }: JsonContent): Promise<Result<ProblemInput>> {
  const { reading, root } = await startReading(tools, path, content);
  reading.faults.push(...tools.checkProblem(path, content));
  const problem = readContent(root);

  const known = await tools.catalogues(foldersOf(root), reading.currency);
  if (known.faults.length === 0) checkNames(root, known.read);

  const faults = [...reading.faults, ...known.faults];
  if (faults.length > 0) return { ok: false, faults: sortFaults(faults) };
  return { ok: true, value: completed({ problem, reading, input, known }) };
}

interface Read {
  readonly problem: Problem;
  readonly reading: Reading;
  readonly input: InputFile;
  readonly known: CataloguesKnown;
}

function completed({ problem, reading, input, known }: Read): ProblemInput {
  const { catalogue, inputs } = known.read;
  const tables = tableFiles(reading.tables);
  const files = { problem: input, catalogs: inputs, ...(tables.length === 0 ? {} : { tables }) };
  const defaults = [...reading.defaults, ...known.defaults];
  return { problem, catalogue, defaults, cautions: known.cautions, inputs: files };
}

async function startReading(
  { units, tables }: Tools,
  file: string,
  content: unknown,
): Promise<{ readonly reading: Reading; readonly root: Node }> {
  const bare: Reading = { file, units, currency: currencyOf(content), tables: new Map(), faults: [], defaults: [] };
  const reading = { ...bare, tables: await loadTables(nodeAt(bare, "", content), tables) };
  return { reading, root: nodeAt(reading, "", content) };
}

/** The currency a problem names; empty where it names none. */
export function currencyOf(content: unknown): string {
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
