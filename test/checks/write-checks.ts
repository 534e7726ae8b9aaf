import { writeFileSync } from "node:fs";
import { allChecks } from "./all-checks.ts";
import { checksPage } from "./checks-table.ts";
import { monotonicityPage } from "./monotonicity-page.ts";

const FOLDER = new URL("../../shared/reference/", import.meta.url);
const pages = { "CHECKS.md": checksPage(await allChecks()), "MONOTONICITY.md": monotonicityPage() };

for (const [name, text] of Object.entries(pages)) {
  writeFileSync(new URL(name, FOLDER), text);
  console.log(`wrote shared/reference/${name}`);
}
