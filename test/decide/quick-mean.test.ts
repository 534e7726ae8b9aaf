import { expect, test } from "vitest";
import { columnsOf, everyVisit } from "../../src/decide/axis-columns.ts";
import { ENFORCE, judgedByCase } from "../../src/decide/judged-axis.ts";
import { powerBook, quickDuty, quickFigures } from "../../src/decide/power-book.ts";
import { powerMemory } from "../../src/decide/power-memory.ts";
import { isSetup, setupOf } from "../../src/decide/setup.ts";
import { readProblem } from "../../src/input/read-problem.ts";
import { motorRating } from "../../src/physics/limits/rating.ts";

const CASES = [
  { low: 2.5, high: 2.5 },
  { low: 2, high: 3 },
];

/** Oracle: the mean of the power curve, integrated numerically piece by piece over the same spans. */
test("mean power in closed form is never above the integrated one, and within 2 % of it where the mass is known", async () => {
  const input = await readProblem("problems/tray-transplanter.json");
  if (!input.ok) throw new Error("the demo does not read");
  const setup = setupOf(input.value.problem, input.value.catalogue);
  if (!isSetup(setup)) throw new Error("a motion cannot be");
  let [looked, near] = [0, 0];
  for (const axis of setup.machines[0]?.axes ?? []) {
    const runs = setup.machines[0]?.runs ?? [];
    const cycle = runs[0]?.cycle ?? 0;
    const cases = axis.riders.length === 0 ? [{ low: 0, high: 0 }] : CASES;
    const judged = judgedByCase(axis, setup.catalogue, { cases, judging: ENFORCE });
    const visits = everyVisit(judged).filter((_, k) => k % 997 === 0);
    const columns = columnsOf(judged, setup.catalogue, visits);
    const book = powerBook(columns, runs, powerMemory());
    const taken = { spans: [{ from: 0.1 * cycle, to: 0.7 * cycle }], share: 0.6 };
    const reading = { kind: "share" as const, spans: taken.spans };
    for (const column of columns.columns) {
      const duty = columns.duties[column.case]?.[0];
      if (duty === undefined) throw new Error("a column of no case");
      const rating = motorRating(column.motor, axis.axis.needs, axis.site);
      const { base, current } = quickFigures(quickDuty(duty, taken), { ...column, rating });
      const quick = base + column.drive.lossPerAmp * current;
      // Over a range of carried mass: below the exact mean at each mass of it.
      const { low, high } = cases[column.case] ?? { low: 0, high: 0 };
      const masses = low === high ? [undefined] : [low, (low + high) / 2, high];
      const exact = Math.min(...masses.map((mass) => book.least(column, 1, { reading, sum: "billed", mass, run: 0 })));
      expect(quick).toBeLessThanOrEqual(exact + 1e-9 * Math.abs(exact));
      looked += 1;
      if (low === high && quick >= exact - 0.02 * Math.abs(exact)) near += 1;
    }
  }
  expect(looked).toBeGreaterThan(300);
  expect(near).toBeGreaterThan(0.5 * looked);
});
