import { expect, test } from "vitest";
import type { Axis } from "../../src/machine/problem.ts";
import { orderOracle } from "../../src/verify/evaluate-machine.ts";
import { plainDrive, plainMotor, plainProblem } from "../oracle/plain-parts.ts";
import { axisOf, dwell, LOSSLESS, move, NO_LOAD } from "../physics/sample-axis.ts";

test("what is unknown in a mode alone is unknown: here how long the winding takes to follow a held weight", () => {
  const axis: Axis = axisOf({
    mechanism: { kind: "belt", diameter: 0.05, ...LOSSLESS },
    load: { mass: 2 },
    motion: [move(0.1, { time: 1 }), move(-0.1, { time: 1 })],
    cycle: 2,
  });
  const { windingTime: _, ...motor } = plainMotor();
  const catalogue = { motors: [], gearboxes: [], drives: [], supplies: [], resistors: [], inductors: [] };
  const unknownIn = (modes: ReturnType<typeof plainProblem>["machines"][number]["modes"]): string[] => {
    const plain = plainProblem([axis], 2);
    const problem = { ...plain, machines: plain.machines.map((machine) => ({ ...machine, modes })) };
    const pick = { motor, gearbox: null, drive: plainDrive(), inductor: null };
    return orderOracle(problem, catalogue, 40)
      .simulate(0, 0, pick, 0)
      .unchecked.map(({ id }) => id);
  };
  const load = { ...NO_LOAD, mass: 2, incline: Math.PI / 2 };
  const held = { id: "held", share: 0.2, cycle: 3, axes: new Map([[axis.id, { motion: [dwell(3)], load }]]) };
  expect(unknownIn([])).not.toContain("motor.standstill_torque");
  expect(unknownIn([held])).toContain("motor.standstill_torque");
});
