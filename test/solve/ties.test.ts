import { expect, test } from "vitest";
import type { Column, Picks, SelectionModel, Verdict } from "../../src/model/selection.ts";
import { costOf } from "../../src/solve/cost.ts";
import { solveModel } from "../../src/solve/solve-model.ts";
import { at } from "./brute-force.ts";

const origin = { kind: "test", id: "ties" } as const;

const choices = (masses: readonly number[]): Column[] =>
  masses.map((mass, k) => ({ cost: 1, parts: [], tie: { mass, text: String.fromCodePoint(97 + k) } }));

test("the tie rule's winner is found behind any choice to decide first, also behind those closed unseen", async () => {
  // Everything costs the same in the model, but with the first two supplies: dear outside it. So the search has to split
  // by supply, and once the third one brings an answer, the bound it split at closes the others without another look.
  const supplies = choices([5, 5, 3, 1, 2]);
  const axes = Array.from({ length: 10 }, (_, g) => ({ id: `axis ${g}`, columns: choices(Array(13).fill(0)) }));
  const groups = [...axes, { id: "supply", columns: supplies }].map((group, g) => ({
    ...group,
    origin,
    pools: [0],
    decideFirst: g === axes.length,
  }));
  const pools = [{ id: "pool", quantity: 1 }];
  const model: SelectionModel = { groups, parts: [], pools, caps: [], rows: [], envelopes: [], unit: 1, rounding: 0 };
  const judge = (picks: Picks): Verdict => {
    const isDear = at(picks, axes.length) < 2;
    return { cost: costOf(model, picks) + (isDear ? 900 : 0), rows: [], envelopeRows: [] };
  };
  const outcome = await solveModel(model, { engine: "simplex", secondsLeft: () => 600, judge });
  expect(outcome).toMatchObject({ status: "optimal", cost: groups.length, tiesSettled: true });
  // Least mass, then the first texts: the fourth supply, the first column of every axis (by hand).
  expect(outcome.picks).toEqual([...axes.map(() => 0), 3]);
});
