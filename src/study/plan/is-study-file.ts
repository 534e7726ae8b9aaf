import { isObject } from "../../input/node.ts";
import { readJson } from "../../input/read-json.ts";

/** Whether a file is meant as a study: it names a problem and has factors or a design, which no problem has. */
export async function isStudyFile(path: string): Promise<boolean> {
  const json = await readJson(path);
  if (!json.ok || !isObject(json.value.content)) return false;
  const { content } = json.value;
  return "problem" in content && ("factors" in content || "design" in content);
}
