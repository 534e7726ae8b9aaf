import { describe } from "vitest";
import { judgingContract } from "./judging-contract.ts";
import { readAxes } from "./read-axes.ts";

const AXES = [
  ...(await readAxes("tray-transplanter")),
  ...(await readAxes("stone-lift-infeasible")),
  ...(await readAxes("drum-feeder-imperial")),
];

/** A share of the picks of `test/long/judge-axis.ts`. */
describe.each(AXES)("$name", (read) => {
  judgingContract(read, 0.3);
});
