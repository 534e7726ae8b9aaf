import { parseArgs } from "node:util";
import { USUAL_WISH } from "./wish.ts";
import { WISH_OPTIONS, wishOf } from "./wish-options.ts";
import { writeSynthetic } from "./write-files.ts";

/**
 * `bench/synthetic/write.ts <folder> [--seed 1] [--axes 8] [--parts 1000] [--machines 1] [--quantity 2] [--buses 1]
 * [--carried 0.5] [--tight-cabinet] [--tight-supply] [--no-variety] [--no-caps] [--no-steps]`: writes an invented
 * order, the same one whenever the options are the same.
 */
const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    ...WISH_OPTIONS,
    axes: { type: "string", default: String(USUAL_WISH.axes) },
    parts: { type: "string", default: String(USUAL_WISH.parts) },
  },
});
const [folder] = positionals;
if (folder === undefined) throw new Error("name the folder to write into");
console.log(`wrote ${writeSynthetic(folder, wishOf(values, Number(values.axes), Number(values.parts)))}`);
