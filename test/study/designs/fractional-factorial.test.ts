import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import { extendDesign, makeDesign } from "../../../src/study/designs/design.ts";
import { offeredFractions } from "../../../src/study/designs/fractional-factorial.ts";
import { wordLengthPattern } from "../../../src/study/designs/word-length.ts";
import { table } from "./published.ts";
import { continuous, FREE, figure, gram, LETTERS, longer, made, refused, said, scaledIdentity } from "./sample.ts";

/** A printed pattern against one of ours, as far as it is printed. */
function expectPattern(ours: readonly number[], printed: string): void {
  const counts = printed.split(" ").map(Number);
  expect(counts.length).toBeGreaterThanOrEqual(3);
  expect([...ours, 0, 0, 0, 0].slice(0, counts.length)).toEqual(counts);
}

describe("fractions chosen here have the published word-length patterns", () => {
  const catalogue = table("minimum_aberration.csv");

  test("the catalogue is read", () => {
    expect(catalogue.length).toBe(43);
  });

  test.each(catalogue)("$name: least aberration (Chen, Sun, Wu 1993; Block, Mee 2005)", ({ k, runs, res, WLP }) => {
    const design = made({ kind: "fractional-factorial", runs: Number(runs) }, continuous(Number(k)));
    expect(design.points.length).toBe(Number(runs));
    expectPattern(wordLengthPattern(design.points), WLP ?? "");
    expect(figure(design, "resolution")).toBe(Number(res));
    expect(gram(design.points)).toEqual(scaledIdentity(Number(k), Number(runs)));
  });

  const nist = table("nist_5_3_3_4_7_generators.csv");

  test.each(nist.filter((row) => row["WLP_A1..A7_recomputed"] !== ""))(
    "the NIST generators of 2^($k-$p) give its pattern, and the fraction chosen has the same (NIST 5.3.3.4.7)",
    ({ k, p, runs, nist_generators_for_last_p_factors: words = "", ...row }) => {
      const first = Number(k) - Number(p);
      const generators = words.split(" ").map((word, j) => `${LETTERS[first + j]} = ${word.toUpperCase()}`);
      const printed = row["WLP_A1..A7_recomputed"] ?? "";
      const own = made({ kind: "fractional-factorial", generators }, continuous(Number(k)));
      expect(own.points.length).toBe(Number(runs));
      expectPattern(wordLengthPattern(own.points), printed);
      expect(figure(own, "resolution")).toBe(Number(row["resolution_recomputed"]));
      expectPattern(
        wordLengthPattern(made({ kind: "fractional-factorial", runs: Number(runs) }, continuous(Number(k))).points),
        printed,
      );
    },
  );

  test("NIST's saturated 31 factors in 32 runs: 31·30/6 words of three letters, as any two factors have one", () => {
    const words = nist.find(({ k }) => k === "31")?.["nist_generators_for_last_p_factors"]?.split(" ") ?? [];
    expect(words.length).toBe(26);
    const generators = words.map((word, j) => `${LETTERS[5 + j]} = ${word.toUpperCase()}`);
    for (const request of [{ runs: 32 }, { generators }]) {
      const design = made({ kind: "fractional-factorial", ...request }, continuous(31));
      expect(wordLengthPattern(design.points)[2]).toBe(155);
      expect(gram(design.points)).toEqual(scaledIdentity(31, 32));
    }
  });

  test("the pattern is the number of words, counted one by one", () => {
    fc.assert(
      fc.property(fc.integer({ min: 4, max: 10 }), fc.nat(), (factors, pick) => {
        const offers = offeredFractions(factors);
        const { generators, runs } = offers[pick % offers.length] ?? { generators: [], runs: 0 };
        const words = generators.reduce<number[]>(
          (all, { factor, product }) => {
            const word = [factor, ...product].reduce((mask, place) => mask | (1 << place), 0);
            return [...all, ...all.map((other) => other ^ word)];
          },
          [0],
        );
        const lengths = words.slice(1).map((word) => word.toString(2).replaceAll("0", "").length);
        const counted = Array.from({ length: factors }, (_, k) => lengths.filter((length) => length === k + 1).length);
        expect(wordLengthPattern(made({ kind: "fractional-factorial", runs }, continuous(factors)).points)).toEqual(
          counted,
        );
      }),
      { seed: 5, numRuns: 40 },
    );
  });
});

describe("aliases", () => {
  test("2^(5-2) with D = AB, E = AC: NIST 5.3.3.4.7's words, worked out by hand", () => {
    const design = made({ kind: "fractional-factorial", generators: ["D = A B", "E = AC"] }, continuous(5));
    expect(said(design, "resolution")).toBe("III");
    expect(said(design, "generators")).toBe("D = A B; E = A C");
    expect(said(design, "defining relation")).toBe("I = A B D = A C E = B C D E");
    expect(said(design, "main effect of A")).toBe("aliased with B × D, C × E");
    expect(said(design, "main effect of E")).toBe("aliased with A × C");
    expect(said(design, "two-factor interactions aliased with each other")).toBe("B × C = D × E; B × E = C × D");
    expect(said(design, "clear two-factor interactions")).toBe("none");
  });

  test("a minus sign in a generator comes out in the aliases", () => {
    const design = made({ kind: "fractional-factorial", generators: ["C = - A B"] }, continuous(3));
    expect(said(design, "defining relation")).toBe("I = − A B C");
    expect(said(design, "main effect of C")).toBe("aliased with − A × B");
    for (const [a = 0, b = 0, c = 0] of design.points) expect(c).toBe(-a * b);
  });

  test("as many two-factor interactions are clear as the catalogue counts", () => {
    const rows = table("minimum_aberration.csv");
    expect(rows.length).toBe(43);
    for (const { k, runs, nclear2fi } of rows) {
      const design = made({ kind: "fractional-factorial", runs: Number(runs) }, continuous(Number(k)));
      const clear = said(design, "clear two-factor interactions");
      expect(clear === "none" ? 0 : clear.split(";").length).toBe(Number(nclear2fi));
    }
  });

  test("ids of factors stand for letters", () => {
    const factors = ["speed", "lift.mass", "ratio"].map((id) => ({ id, isCategorical: false }));
    const design = made({ kind: "fractional-factorial", generators: ["ratio = speed lift.mass"] }, factors);
    expect(said(design, "main effect of ratio")).toBe("aliased with speed × lift.mass");
  });
});

/** The refusal of a fraction. */
function ask(request: object, factors: number) {
  return refused(makeDesign({ kind: "fractional-factorial", ...request }, continuous(factors), FREE));
}

describe("wishes that cannot be met", () => {
  test("resolution V of six factors does not exist: the next is VI in 32 runs", () => {
    for (const request of [{ resolution: 5 }, { resolution: 5, runs: 16 }]) {
      const { refused: why, possible } = ask(request, 6);
      expect(why).toMatch(/6 factors of resolution V/);
      expect(possible).toEqual([
        "resolution III in 8 runs",
        "resolution IV in 16 runs",
        "resolution VI in 32 runs",
        "kind full-factorial in 64 runs",
      ]);
    }
  });

  test.each([
    [{}, 5, /needs resolution, runs or generators/],
    [{ runs: 16, generators: ["E = ABCD"] }, 5, /generators fix/],
    [{ runs: 24 }, 5, /of 24 runs/],
    [{ resolution: 3 }, 2, /2 factors/],
    [{ generators: ["E ABCD"] }, 5, /not understood/],
    [{ generators: ["Z = ABC"] }, 5, /Z is no factor/],
    [{ generators: ["E = A Z"] }, 5, /not known/],
    [{ generators: ["E = A"] }, 5, /at least two/],
    [{ generators: ["E = A B A"] }, 5, /twice/],
    [{ generators: ["E = AB", "E = AC"] }, 5, /two generators/],
    [{ generators: ["D = AB", "E = AD"] }, 5, /has a generator itself/],
    [{ generators: ["D = AB", "E = AB"] }, 5, /two factors change together/],
    [{ generators: ["P = AB"] }, 15, /16384 runs/],
  ])("%j of %i factors", (request, factors, why) => {
    const refusal = ask(request, factors);
    expect(refusal.refused).toMatch(why);
    expect(refusal.possible.length).toBeGreaterThan(0);
  });

  test("a categorical factor of three levels", () => {
    const factors = [...continuous(4), { id: "frame", levels: 3, isCategorical: true }];
    expect(refused(makeDesign({ kind: "fractional-factorial", runs: 8 }, factors, FREE)).refused).toMatch(
      /frame, which has 3 levels/,
    );
  });
});

test("two listed levels stand as 0 and 1; of more levels in an order, the ends", () => {
  const factors = [
    ...continuous(3),
    { id: "brake", levels: 2, isCategorical: true },
    { id: "poles", levels: 4, isCategorical: false },
  ];
  const design = made({ kind: "fractional-factorial", runs: 16 }, factors);
  expect(new Set(design.points.map((point) => point[3]))).toEqual(new Set([0, 1]));
  expect(new Set(design.points.map((point) => point[4]))).toEqual(new Set([0, 3]));
  expect(said(design, "levels of poles")).toBe("2 of 4 listed levels are used");
  expect(figure(design, "largest correlation between factors")).toBe(0);
});

describe("fold-over", () => {
  test("of resolution III it gives IV, main effects clear (Box, Hunter, Hunter, chapter 6)", () => {
    const request = { kind: "fractional-factorial", runs: 8 } as const;
    const design = made(request, continuous(7));
    const folded = longer(design, request, continuous(7));
    expect(folded.points.length).toBe(16);
    expect(said(folded, "resolution")).toBe("IV");
    expect(said(folded, "fold-over")).toBe("signs of all factors turned round");
    expect(said(folded, "main effect of A")).toMatch(/^clear/);
    expect(refused(makeLonger(folded, 7)).refused).toMatch(/not yet extended/);
  });

  test("of resolution IV, where all signs would only repeat the runs, it takes the first factor and clears its interactions", () => {
    const request = { kind: "fractional-factorial", runs: 8 } as const;
    const folded = longer(made(request, continuous(4)), request, continuous(4));
    expect(said(folded, "fold-over")).toBe("signs of A turned round");
    expect(said(folded, "resolution")).toBe("full");
  });
});

function makeLonger(design: ReturnType<typeof made>, factors: number) {
  return extendDesign(design, { kind: "fractional-factorial", runs: 8 }, continuous(factors), FREE, 1);
}
