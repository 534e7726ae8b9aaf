import { parseArgs } from "node:util";
import { MODEL_SIZES, MODEL_VARIANTS } from "./engine/model-rows.ts";
import { modelRow, orderRow, type Terms } from "./engine/rows.ts";
import { logSlope } from "./engine/slope.ts";
import { SOLVERS } from "./engine/task.ts";
import { line } from "./read-setup.ts";
import { WISH_OPTIONS, wishOf } from "./synthetic/wish-options.ts";

/**
 * `bench/engine.ts [--axes 4,8,16,32,64] [--parts 100,1000,10000] [--sizes S3,S4,S5] [--variants plain,…]
 * [--solvers own,highs,simplex] [--seconds 60] [--heap 2048]` and the options of `bench/synthetic/write.ts`: the own
 * solver against engines on the plain model, each measurement in a process of its own. Orders with catalogues by axes
 * and parts, selection models by size and variant; when only one of the two is named, only that one is measured.
 */
const { values } = parseArgs({
  options: {
    ...WISH_OPTIONS,
    axes: { type: "string" },
    parts: { type: "string" },
    sizes: { type: "string" },
    variants: { type: "string", default: Object.keys(MODEL_VARIANTS).join(",") },
    solvers: { type: "string", default: SOLVERS.join(",") },
    seconds: { type: "string", default: "60" },
    heap: { type: "string", default: "2048" },
  },
});
const terms: Terms = {
  solvers: SOLVERS.filter((name) => values.solvers.split(",").includes(name)),
  seconds: Number(values.seconds),
  heap: Number(values.heap),
};
const wantsOrders = values.axes !== undefined || values.parts !== undefined;

console.log(`Limit ${terms.seconds} s, ${terms.heap} MiB of heap, one process and one run each; all of it invented.`);
console.log("The plain model leaves out the rows that answers add, and supplies that feed back: less to prove.\n");
if (values.sizes !== undefined || !wantsOrders) await modelTable((values.sizes ?? "S3,S4,S5").split(","));
if (values.sizes === undefined || wantsOrders)
  await orderTable(numbers(values.axes ?? "4,8,16,32,64"), numbers(values.parts ?? "100,1000,10000"));

async function modelTable(sizes: readonly string[]): Promise<void> {
  console.log("Selection models, ties left open");
  for (const size of Object.keys(MODEL_SIZES).filter((name) => sizes.includes(name)))
    for (const variant of Object.keys(MODEL_VARIANTS).filter((name) => values.variants.split(",").includes(name)))
      await modelRow(size, variant, terms);
  console.log("");
}

async function orderTable(axes: readonly number[], parts: readonly number[]): Promise<void> {
  console.log("Orders with catalogues, from files to the answer; goals 0.3, 1 and 5 s by size, within 2,048 MiB");
  const points: (readonly [number, number])[] = [];
  for (const part of parts)
    for (const axis of axes) {
      const point = await orderRow(wishOf(values, axis, part), terms);
      if (point !== undefined) points.push(point);
    }
  const slope = points.length < 2 ? "–" : logSlope(points).toFixed(2);
  line(
    "slope of cpu over judged, both as logs",
    slope,
    `reading left out, ${points.length} solved rows; goal: at most 1.15`,
  );
}

function numbers(text: string): number[] {
  return text.split(",").map(Number);
}
