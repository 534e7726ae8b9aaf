import { join } from "node:path";
import type { FrontierDocument } from "../index.ts";
import { seenFrom, stemOf } from "./output-files.ts";
import type { TextFile } from "./write-files.ts";

/** The files a frontier leaves in a folder; their names say what was counted. */
export async function frontierFiles(path: string, folder: string, document: FrontierDocument): Promise<TextFile[]> {
  const [{ drawCharts, frontierCharts }, { documentText }, { frontierCsv }, { frontierText }, { PLAIN_STYLE }] =
    await Promise.all([
      import("../index.ts"),
      import("../report/document-text.ts"),
      import("../report/frontier-csv.ts"),
      import("../report/frontier-text.ts"),
      import("../report/text-style.ts"),
    ]);
  const { by, and } = document;
  const stem = [`${stemOf(path)}.frontier`, by, ...(and === null ? [] : [and])].join("-");
  const named = (ending: string, text: string): TextFile => ({ path: join(folder, `${stem}.${ending}`), text });
  const charts = await drawCharts(frontierCharts(document));
  return [
    named("json", documentText(seenFrom(folder, document))),
    named("csv", await frontierCsv(document)),
    named("txt", frontierText(document, PLAIN_STYLE)),
    ...charts.map(({ name, svg }) => named(`${name}.svg`, svg)),
  ];
}
