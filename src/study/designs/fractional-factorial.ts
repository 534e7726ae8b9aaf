import { aliasProperties } from "./alias-structure.ts";
import { classicalDesign, notTwoLevel } from "./classical.ts";
import { codedRow, pointAt } from "./coding.ts";
import type { Design, DesignFactor, DesignProperty, DesignRefusal, Extension, Family, Ground } from "./family.ts";
import { ADD_BY_EXCHANGE, isRefused, refusal } from "./family.ts";
import { foldOver } from "./fold-over.ts";
import { definingWords, fractionRows } from "./fraction.ts";
import { FRACTIONS, LETTERS } from "./fraction-table.ts";
import { type Generator, readGenerators } from "./generators.ts";
import { figureProperty, modelFit, wordProperty } from "./properties.ts";
import type { DesignRequest } from "./request.ts";
import { startsWith } from "./same-points.ts";
import { patternText, resolutionOf, roman, wordLengthPattern } from "./word-length.ts";

type Request = DesignRequest<"fractional-factorial">;
type Rows = readonly (readonly number[])[];

/** Longer defining relations are cut off: nobody reads them. */
const WORDS_SHOWN = 31;

/** Largest fraction by generators of one's own. */
const MOST_RUNS = 1024;

/** A fraction the table offers for a number of factors. */
interface Offer {
  readonly runs: number;
  readonly resolution: number;
  readonly generators: readonly Generator[];
}

/**
 * Fractions of least aberration for a number of factors, fewest runs first.
 *
 * @param factors - 3 to 15, and 31
 */
export function offeredFractions(factors: number): Offer[] {
  const rows = FRACTIONS.filter((row) => row.factors === factors).toSorted((a, b) => a.runs - b.runs);
  return rows.map(({ runs, generators: text }) => {
    const generators = text.split(" ").map((part): Generator => {
      const [left = "", right = ""] = part.split("=");
      return {
        factor: LETTERS.indexOf(left),
        product: right.split("").map((letter) => LETTERS.indexOf(letter)),
        sign: 1,
      };
    });
    const resolution = resolutionOf(wordLengthPattern(fractionRows(factors, generators))) ?? 0;
    return { runs, resolution, generators };
  });
}

/** Generators for a wish, or why there are none. */
function chosen(request: Request, factors: readonly DesignFactor[]): readonly Generator[] | DesignRefusal {
  const { generators, resolution, runs } = request;
  if (generators !== undefined) {
    if (resolution === undefined && runs === undefined) return readGenerators(generators, factors);
    return refusal("generators fix runs and resolution", [
      "generators alone",
      "resolution, runs or both without generators",
    ]);
  }
  const offers = offeredFractions(factors.length);
  const possible = possibleWishes(offers, factors.length);
  if (resolution === undefined && runs === undefined) {
    return refusal("a fractional factorial needs resolution, runs or generators", possible);
  }
  const found = offers.find((offer) =>
    resolution === undefined
      ? offer.runs === runs
      : offer.resolution === resolution && offer.runs <= (runs ?? offer.runs),
  );
  return found?.generators ?? refusal(missing(request, factors.length), possible);
}

function possibleWishes(offers: readonly Offer[], factors: number): string[] {
  const fractions = offers.map(({ runs, resolution }) => `resolution ${roman(resolution)} in ${runs} runs`);
  const full = factors <= 10 ? [`kind full-factorial in ${2 ** factors} runs`] : [];
  return offers.length > 0 ? [...fractions, ...full] : [...full, "kind plackett-burman", "kind d-optimal"];
}

function missing({ resolution, runs }: Request, factors: number): string {
  const asked = [
    ...(resolution === undefined ? [] : [`of resolution ${roman(resolution)}`]),
    ...(runs === undefined ? [] : [resolution === undefined ? `of ${runs} runs` : `within ${runs} runs`]),
  ];
  return `there is no two-level fraction of ${factors} factors ${asked.join(" ")}`;
}

/** Rows of the fraction, checked: no two factors may share a column. */
function baseRows(generators: readonly Generator[], factors: readonly DesignFactor[]): Rows | DesignRefusal {
  const runs = 2 ** (factors.length - generators.length);
  if (runs > MOST_RUNS)
    return refusal(`these generators leave ${runs} runs, more than ${MOST_RUNS}`, ["more generators"]);
  const rows = fractionRows(factors.length, generators);
  const [a1 = 0, a2 = 0] = wordLengthPattern(rows);
  if (a1 + a2 === 0) return rows;
  return refusal("with these generators two factors change together in every run", [
    "other generators",
    "a wish by resolution",
  ]);
}

function make(request: Request, ground: Ground): Design | DesignRefusal {
  const made = fraction(request, ground);
  if (isRefused(made)) return made;
  const { generators, rows } = made;
  return designOf(rows, ground, generatorProperties(generators, ground.factors));
}

/** Generators and rows of a wish. */
function fraction(
  request: Request,
  { factors }: Ground,
): { generators: readonly Generator[]; rows: Rows } | DesignRefusal {
  const odd = notTwoLevel(factors);
  if (odd !== undefined) return odd;
  const generators = chosen(request, factors);
  if (isRefused(generators)) return generators;
  const rows = baseRows(generators, factors);
  return isRefused(rows) ? rows : { generators, rows };
}

function designOf(rows: Rows, ground: Ground, special: readonly DesignProperty[]): Design | DesignRefusal {
  const { factors } = ground;
  const points = rows.map((row) => pointAt(factors, row));
  const pattern = wordLengthPattern(rows);
  const resolution = resolutionOf(pattern);
  const properties = [
    ...(resolution === undefined
      ? [wordProperty("resolution", "full")]
      : [{ name: "resolution", value: roman(resolution), figure: resolution }]),
    ...special,
    wordProperty("word-length pattern", patternText(pattern)),
    ...aliasProperties(rows, factors),
    modelFit(points, factors, "linear"),
  ];
  return classicalDesign("fractional-factorial", ground, { points, properties });
}

function generatorProperties(generators: readonly Generator[], factors: readonly DesignFactor[]): DesignProperty[] {
  const names = (places: readonly number[]): string => places.map((place) => factors[place]?.id ?? "").join(" ");
  const words = definingWords(generators).map(({ places, sign }) => (sign < 0 ? "− " : "") + names(places));
  const shown = words.slice(0, WORDS_SHOWN);
  const total = 2 ** generators.length - 1;
  const rest = total > shown.length ? ` = … (${total} words)` : "";
  return [
    wordProperty(
      "generators",
      generators
        .map(({ factor, product, sign }) => `${names([factor])} = ${sign < 0 ? "− " : ""}${names(product)}`)
        .join("; "),
    ),
    wordProperty("defining relation", `I = ${shown.join(" = ")}${rest}`),
  ];
}

/** The next step of a fraction is its fold-over. */
function extend(request: Request, ground: Ground, { design }: Extension): Design | DesignRefusal {
  const made = fraction(request, ground);
  if (isRefused(made)) return made;
  const { factors } = ground;
  const { rows } = made;
  if (
    design.points.length !== rows.length ||
    !startsWith(
      design,
      rows.map((row) => pointAt(factors, row)),
    )
  ) {
    return refusal(
      "only the fraction of this request, not yet extended, has a next step: its fold-over",
      ADD_BY_EXCHANGE,
    );
  }
  const old = design.points.map((point) => codedRow(factors, point));
  const folded = foldOver(
    old,
    factors.map(({ id }) => id),
  );
  return designOf([...old, ...folded.rows], ground, [
    wordProperty("fold-over", folded.words),
    figureProperty("runs before the fold-over", old.length),
  ]);
}

/** Regular two-level fractions. */
export const fractionalFactorial: Family<"fractional-factorial"> = { make, extend };
