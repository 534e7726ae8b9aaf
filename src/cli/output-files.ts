import { basename, extname, join } from "node:path";
import type { SolveFileOutcome } from "../index.ts";
import type { TextFile } from "./write-files.ts";

/** Where the user wants files. */
export interface OutputFlags {
  readonly out?: string;
  readonly writeModel?: string;
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
  const { document, certificate } = outcome;
  const named = (ending: string, text: string): TextFile => ({ path: join(folder, `${stem}.${ending}`), text });
  return [
    named("result.json", documentText(document)),
    named("parts.csv", await partsCsv(document)),
    named("txt", solveText(document, PLAIN_STYLE)),
    ...(certificate === undefined ? [] : [named("certificate.json", certificate)]),
  ];
}

/** Name of a problem file without its folder and ending. */
function stemOf(path: string): string {
  return basename(path, extname(path));
}
