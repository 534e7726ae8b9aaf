import { expect, test } from "vitest";
import { coreOf } from "../../src/solve/core.ts";
import { costOf, violatedRows } from "../../src/solve/cost.ts";
import { copyDomain, countLinks, type Domain, fullDomain, hasLink, keepColumns } from "../../src/solve/domain.ts";
import { polished, searchLocally } from "../../src/solve/local-search.ts";
import { propagate } from "../../src/solve/propagate.ts";
import { at } from "./brute-force.ts";
import { randomFrom, randomModel, withoutModules } from "./random-model.ts";

test("polished picks cannot be improved by moving one group; a search from the same start ends no worse (brute force)", () => {
  let [looked, improved] = [0, 0];
  for (let seed = 1; seed <= 400; seed += 1) {
    const model = withoutModules(randomModel(seed));
    const core = coreOf(model);
    const domain = fullDomain(core);
    if (!propagate(core, domain)) continue;
    const random = randomFrom(seed);
    const start = Int32Array.from(domain.alive, (columns) => at(columns, Math.floor(random() * columns.length)));
    const found = polished(core, domain, start);
    if (!found.isFeasible) continue;
    looked += 1;
    for (const [g, columns] of domain.alive.entries()) {
      for (const column of columns) {
        const other = found.picks.with(g, column - at(core.offset, g));
        const isWorse = violatedRows(model, other).length > 0 || costOf(model, other) >= found.cost - 1e-6;
        expect([seed, g, column, isWorse]).toEqual([seed, g, column, true]);
      }
    }
    const searched = searchLocally(core, domain, start, new Float64Array(core.partCount));
    expect([seed, searched.isFeasible, searched.cost <= found.cost + 1e-6]).toEqual([seed, true, true]);
    if (searched.cost < found.cost - 1e-6) improved += 1;
  }
  expect(looked).toBeGreaterThan(100);
  expect(improved).toBeGreaterThan(10);
});

test("links counted group by group as lists change are those counted at one go, in copies, too", () => {
  let compared = 0;
  for (let seed = 1; seed <= 100; seed += 1) {
    const core = coreOf(randomModel(seed));
    const random = randomFrom(seed);
    let domain: Domain = fullDomain(core);
    for (let turn = 0; turn < 6; turn += 1) {
      countLinks(core, domain);
      const counts = Array.from(domain.linkCount, (_, link) => {
        const columns = at(domain.alive, at(core.linkGroup, link));
        return columns.filter((column) => hasLink(core, column, link)).length;
      });
      expect([seed, turn, [...domain.linkCount]]).toEqual([seed, turn, counts]);
      const live = [...counts.keys()].filter((link) => at(counts, link) > 0);
      expect([seed, turn, [...domain.links]]).toEqual([seed, turn, live]);
      compared += 1;
      const group = Math.floor(random() * core.groupCount);
      keepColumns(domain, group, () => random() < 0.7);
      const uncounted = copyDomain(domain);
      if (random() < 0.3) {
        countLinks(core, domain);
        domain = uncounted;
      }
    }
  }
  expect(compared).toBe(600);
});
