import { expect, test } from "vitest";
import type { RunSegment } from "../../src/machine/problem.ts";
import type { MachinePick } from "../../src/verify/answer.ts";
import { orderOracle } from "../../src/verify/evaluate-machine.ts";
import {
  PLAIN_SHAFT,
  plainAxis,
  plainDrive,
  plainLoad,
  plainMotor,
  plainProblem,
  plainSupply,
} from "../oracle/plain-parts.ts";
import { derivedCase } from "../oracle/reference-table.ts";

const run = (speed: number, time: number): RunSegment => ({
  kind: "run",
  speed,
  time,
  accelerateTime: 0,
  force: 0,
  payload: 0,
});

test("capacitors of 1000 µF hold 147.4 J between 560 V and 780 V (BUS-1, derived), and a wrapping window counts whole", () => {
  // Lowering in the last and the first quarter of the cycle: one window over its end.
  const lift = { kind: "belt", ...PLAIN_SHAFT, diameter: 0.1 } as const;
  const motion = [run(-0.5, 0.5), run(0.5, 0.5)];
  const axis = plainAxis(lift, plainLoad({ mass: 20, incline: Math.PI / 2 }), motion, {}, { start: 0.75 });
  const problem = plainProblem([axis], 1);
  const site = { ...problem.site, mains: 560 / Math.SQRT2, mainsTolerance: 0 };
  const drive = plainDrive({ capacitance: 600e-6 });
  const supply = plainSupply({ capacitance: 400e-6, chopperVoltage: 780 });
  const catalogue = { motors: [], gearboxes: [], drives: [], supplies: [supply], resistors: [], inductors: [] };
  const answer: MachinePick[] = [
    {
      axes: [{ motor: plainMotor({ resistance: 1e-9 }), gearbox: null, drive, inductor: null }],
      buses: [{ supply, resistor: null }],
    },
  ];
  const verdict = orderOracle({ ...problem, site }, catalogue).evaluate(answer);
  const row = verdict.buses[0]?.find(({ id }) => id === "supply.regeneration");
  expect(row?.allowed).toBeCloseTo(derivedCase("BUS-1", "E=C/2"), 9);
  expect(row?.demand).toBeCloseTo(20 * 9.80665 * 0.5 * 0.5, 5);
});
