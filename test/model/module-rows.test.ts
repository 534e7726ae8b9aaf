import { expect, test } from "vitest";
import { leastModules, moduleShare } from "../../src/model/module-rows.ts";

const CHARGED = { drive: 300 };
const FREE = { drive: 0 };

/** A machine of one bus whose axes can all take drives of these channels. */
function machineOf(axes: number, channels: readonly number[]): Parameters<typeof leastModules>[0] {
  const columns = channels.map((count) => ({ drive: { channels: count } }));
  return { axes: Array.from({ length: axes }, () => ({ bus: 0, columns })), buses: [{}] };
}

/** Modules of kinds that serve several axes, and single drives by kind, for axes that take kinds by index. */
function counted(
  kinds: readonly { channels: number }[],
  picks: readonly number[],
): { modules: number; singles: number[] } {
  const uses = kinds.map((_, kind) => picks.filter((pick) => pick === kind).length);
  const modules = kinds.reduce(
    (sum, { channels }, kind) => (channels > 1 ? sum + Math.ceil((uses[kind] ?? 0) / channels) : sum),
    0,
  );
  return { modules, singles: uses.filter((count, kind) => count > 0 && kinds[kind]?.channels === 1) };
}

function everyPick(axes: number, kinds: number): number[][] {
  if (axes === 0) return [[]];
  return everyPick(axes - 1, kinds).flatMap((rest) => Array.from({ length: kinds }, (_, kind) => [...rest, kind]));
}

const MIXES = [
  [1, 2],
  [1, 1, 2],
  [1, 2, 2],
  [2, 2],
  [1, 3],
  [1, 2, 3],
  [1, 1, 4],
];

test.each(MIXES.flatMap((channels) => [CHARGED, FREE].map((charge) => ({ channels, charge }))))(
  "no way of sharing drives of $channels channels, $charge charged a kind, breaks the row, and some way meets it (every way, 1 to 6 axes)",
  ({ channels, charge }) => {
    const kinds = channels.map((count) => ({ channels: count }));
    let rows = 0;
    for (let axes = 1; axes <= 6; axes += 1) {
      const [row] = leastModules(machineOf(axes, channels), charge);
      if (row === undefined) continue;
      rows += 1;
      const perSingle = moduleShare(row, { channels: 1 });
      const room = everyPick(axes, kinds.length).map((picks) => {
        const { modules, singles } = counted(kinds, picks);
        return singles.reduce((sum, count) => sum + count * perSingle + row.kind, modules) - row.count;
      });
      expect(Math.min(...room)).toBeGreaterThanOrEqual(-1e-12);
      expect(Math.min(...room)).toBeLessThan(1e-12);
    }
    expect(rows).toBeGreaterThanOrEqual(3);
  },
);

test("kinds without a charge count with each pick, as much as the charge would count and the pick together (by hand)", () => {
  const machine = machineOf(5, [1, 2]);
  expect(leastModules(machine, CHARGED)).toEqual([{ bus: 0, count: 3, single: 0.5, kind: 0.5 }]);
  expect(leastModules(machine, FREE)).toEqual([{ bus: 0, count: 3, single: 1, kind: 0 }]);
});

test("where every channel finds an axis there is no row", () => {
  expect(leastModules(machineOf(6, [2]), CHARGED)).toEqual([]);
  expect(leastModules(machineOf(5, [1]), CHARGED)).toEqual([]);
});
