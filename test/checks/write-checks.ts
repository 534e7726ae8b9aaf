import { writeFileSync } from "node:fs";
import { allChecks } from "./all-checks.ts";
import { checksPage } from "./checks-table.ts";

const target = new URL("../../shared/reference/CHECKS.md", import.meta.url);
writeFileSync(target, checksPage(await allChecks()));
console.log("wrote shared/reference/CHECKS.md");
