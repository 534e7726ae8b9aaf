import { expect, test } from "vitest";
import { applyColumn, emptyAssignment } from "../../src/solve/assignment.ts";
import { coreOf } from "../../src/solve/core.ts";
import { costOf, violatedRows } from "../../src/solve/cost.ts";
import { fullDomain } from "../../src/solve/domain.ts";
import { improveGroup } from "../../src/solve/improve-group.ts";
import { propagate } from "../../src/solve/propagate.ts";
import { at } from "./brute-force.ts";
import { randomFrom, randomModel, withoutModules } from "./random-model.ts";

test("a group is moved to the column whose whole order costs least, among those that break nothing", () => {
  let looked = 0;
  let moved = 0;
  for (let seed = 1; seed <= 400; seed += 1) {
    const model = withoutModules(randomModel(seed));
    const core = coreOf(model);
    const domain = fullDomain(core);
    if (!propagate(core, domain)) continue;
    const random = randomFrom(seed);
    for (let trial = 0; trial < 20; trial += 1) {
      const picked = domain.alive.map((columns) => at(columns, Math.floor(random() * columns.length)));
      const picks = picked.map((column, g) => column - at(core.offset, g));
      if (violatedRows(model, picks).length > 0) continue;
      const assignment = emptyAssignment(core);
      for (const column of picked) applyColumn(assignment, column);
      const group = trial % model.groups.length;
      if (improveGroup(assignment, domain, group)) moved += 1;
      const after = picks.with(group, at(assignment.pick, group) - at(core.offset, group));
      if (violatedRows(model, after).length > 0) continue;
      looked += 1;
      const others = Array.from(at(domain.alive, group), (column) =>
        picks.with(group, column - at(core.offset, group)),
      ).filter((other) => violatedRows(model, other).length === 0);
      const least = Math.min(...others.map((other) => costOf(model, other)));
      expect(Math.abs(costOf(model, after) - least), `seed ${seed} trial ${trial}`).toBeLessThan(1e-6 * (1 + least));
    }
  }
  expect(looked).toBeGreaterThan(500);
  expect(moved).toBeGreaterThan(200);
});
