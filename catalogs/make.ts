import { mkdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { makeCatalogs } from "./make/catalogs.ts";

for (const [path, text] of makeCatalogs()) {
  const target = join(import.meta.dirname, path);
  mkdirSync(dirname(target), { recursive: true });
  writeFileSync(target, text);
  console.log(`wrote catalogs/${path}, ${text.length} characters`);
}
