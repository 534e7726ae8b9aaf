import { describe } from "vitest";
import { judgingContract } from "../candidates/judging-contract.ts";
import { readAxes } from "../candidates/read-axes.ts";

const AXES = [
  ...(await readAxes("tray-transplanter")),
  ...(await readAxes("stone-lift-infeasible")),
  ...(await readAxes("drum-feeder-imperial")),
];

describe.each(AXES)("$name", (read) => {
  judgingContract(read, 1);
});
