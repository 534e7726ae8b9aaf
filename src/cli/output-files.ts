import { basename, extname, isAbsolute, join, relative, resolve, sep } from "node:path";
import type { InputFile, SolveFileOutcome } from "../index.ts";
import type { TextFile } from "./write-files.ts";

/** Where the user wants files. */
export interface OutputFlags {
  readonly out?: string;
  readonly writeModel?: string;
}

/** The option that would write over the problem itself, if any. */
export function overwrites(path: string, { out, writeModel }: OutputFlags): string | undefined {
  const isProblem = (written: string): boolean => resolve(written) === resolve(path);
  if (writeModel !== undefined && isProblem(writeModel)) return "--write-model";
  const print = out === undefined ? undefined : join(out, `${stemOf(path)}.txt`);
  return print !== undefined && isProblem(print) ? "--out" : undefined;
}

/** The files a solved problem leaves behind: none unless asked for. */
export async function outputFiles(path: string, flags: OutputFlags, outcome: SolveFileOutcome): Promise<TextFile[]> {
  const { modelText } = outcome;
  const model =
    flags.writeModel === undefined || modelText === undefined ? [] : [{ path: flags.writeModel, text: modelText }];
  return flags.out === undefined ? model : [...(await folderFiles(flags.out, stemOf(path), outcome)), ...model];
}

async function folderFiles(folder: string, stem: string, outcome: SolveFileOutcome): Promise<TextFile[]> {
  const [{ documentText }, { partsCsv }, { solveText }, { PLAIN_STYLE }] = await Promise.all([
    import("../report/document-text.ts"),
    import("../report/parts-list.ts"),
    import("../report/solve-text.ts"),
    import("../report/text-style.ts"),
  ]);
  const document = seenFrom(folder, outcome.document);
  const { certificate } = outcome;
  const named = (ending: string, text: string): TextFile => ({ path: join(folder, `${stem}.${ending}`), text });
  return [
    named("result.json", documentText(document)),
    named("parts.csv", await partsCsv(document)),
    named("txt", solveText(document, PLAIN_STYLE)),
    ...(certificate === undefined ? [] : [named("certificate.json", certificate)]),
  ];
}

/** What a document says of its input files. */
interface Inputs {
  readonly problem: InputFile;
  readonly catalogs: readonly InputFile[];
  readonly tables?: readonly InputFile[];
  readonly result?: InputFile;
}

/** The document with the paths of its input files seen from the folder it is written to. */
export function seenFrom<D extends { readonly inputs: Inputs }>(folder: string, document: D): D {
  const moved = ({ path, sha256 }: InputFile): InputFile => ({
    path: isAbsolute(path) ? path : relative(folder, path).split(sep).join("/"),
    sha256,
  });
  const { problem, catalogs, tables, result } = document.inputs;
  const inputs = {
    problem: moved(problem),
    catalogs: catalogs.map(moved),
    ...(tables === undefined ? {} : { tables: tables.map(moved) }),
    ...(result === undefined ? {} : { result: moved(result) }),
  };
  return { ...document, inputs };
}

/** Name of a problem file without its folder and ending. */
export function stemOf(path: string): string {
  return basename(path, extname(path));
}
