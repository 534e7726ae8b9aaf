import { dirname, join, normalize } from "node:path";
import type { InputFile } from "../machine/problem.ts";
import type { LoadedTable } from "./loaded-table.ts";
import { child, children, member, type Node } from "./node.ts";
import { isInside } from "./path-inside.ts";
import { SIZE_LIMITS } from "./size-limits.ts";
import { type CsvRow, streamCsv } from "./stream-csv.ts";

/** Where the rows of a table file come from. */
export type TableSource = (file: string) => Promise<LoadedTable>;

/** Loads each file once; what was loaded counts as unchanged from then on. */
export function rememberedTables(): TableSource {
  const known = new Map<string, Promise<LoadedTable>>();
  return async (file) => {
    const loaded = known.get(file) ?? loadTable(file);
    known.set(file, loaded);
    return loaded;
  };
}

/** Loads every file inside the problem's folder that values over time come from, each once, by its plain path from there. */
export async function loadTables(root: Node, load: TableSource): Promise<ReadonlyMap<string, LoadedTable>> {
  const axes = children(root, "machines").flatMap((machine) => children(machine, "axes"));
  const modes = children(root, "machines").flatMap((machine) => children(machine, "modes"));
  const modeAxes = modes
    .map((mode) => child(mode, "axes"))
    .flatMap((node) => keysOf(node).map((key) => child(node, key)));
  const segments = [...axes, ...modeAxes].flatMap((axis) => children(axis, "motion"));
  const forces = [...[...axes, ...modeAxes].map((axis) => child(axis, "load")), ...segments].flatMap((node) =>
    ["force", "torque"].map((key) => child(node, key)),
  );
  const names = [
    ...segments.map((segment) => member(segment, "follow")),
    ...[...forces, ...axes.map((axis) => child(axis, "mechanism")), ...modeAxes].map((node) => member(node, "file")),
  ];
  const given = names.filter((name) => typeof name === "string").filter((name) => name !== "" && isInside(name));
  const folder = dirname(root.reading.file);
  const loaded = await Promise.all(
    [...new Set(given.map(normalize))].map(async (name) => [name, await load(join(folder, name))] as const),
  );
  return new Map(loaded);
}

function keysOf({ members }: Node): string[] {
  return Object.keys(members);
}

/** Reads a table file from disk. */
export async function loadTable(file: string): Promise<LoadedTable> {
  const rows: CsvRow[] = [];
  const outcome = await streamCsv(file, (row) => {
    if (rows.length <= SIZE_LIMITS.tableRows + 1) rows.push(row);
  });
  return { file, outcome, rows };
}

/** The files that could be read, with their hashes. */
export function tableFiles(tables: ReadonlyMap<string, LoadedTable>): readonly InputFile[] {
  return [...tables.values()].flatMap(({ file, outcome }) =>
    outcome.kind === "read" ? [{ path: file, sha256: outcome.sha256 }] : [],
  );
}
