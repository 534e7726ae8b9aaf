import type { DesignFactor, DesignRefusal } from "./family.ts";
import { refusal } from "./family.ts";
import { LETTERS } from "./fraction-table.ts";

/** A column that is the product of others, by place of the factors. */
export interface Generator {
  readonly factor: number;
  readonly product: readonly number[];
  readonly sign: 1 | -1;
}

const NOTATION = 'a generator such as "E = A B C D" or "E = - A B C D", by factor ids or by letters';

/**
 * Reads generators: a factor, "=", perhaps "-", and the factors whose product it is; factors by id, or by letter in the
 * order of the study (A, B, C …, no I), letters also without spaces.
 */
export function readGenerators(
  texts: readonly string[],
  factors: readonly DesignFactor[],
): readonly Generator[] | DesignRefusal {
  const generators: Generator[] = [];
  for (const text of texts) {
    const generator = readGenerator(text, factors);
    if (typeof generator === "string") return refusal(`generator "${text}": ${generator}`, [NOTATION]);
    generators.push(generator);
  }
  const fault = generatorsFault(generators, factors);
  return fault === undefined
    ? generators
    : refusal(fault, ["generators of distinct factors, each by factors without one"]);
}

function readGenerator(text: string, factors: readonly DesignFactor[]): Generator | string {
  const parts = /^\s*(\S+)\s*=\s*(-?)\s*(.+?)\s*$/u.exec(text);
  if (parts === null) return "not understood";
  const [, left = "", minus = "", right = ""] = parts;
  const [factor, ...more] = placesOf(left, factors);
  const product = right.split(/\s+/u).flatMap((token) => placesOf(token, factors));
  if (factor === undefined || more.length > 0 || factor < 0) return `${left} is no factor`;
  return productFault(product) ?? { factor, product, sign: minus === "-" ? -1 : 1 };
}

function productFault(product: readonly number[]): string | undefined {
  if (product.some((place) => place < 0)) return "a factor on the right is not known";
  if (product.length < 2) return "at least two factors have to stand on the right";
  return new Set(product).size < product.length ? "a factor stands twice on the right" : undefined;
}

/** Places of the factors a token names: an id, a letter, or letters in a row; −1: none. */
function placesOf(token: string, factors: readonly DesignFactor[]): number[] {
  const id = factors.findIndex((factor) => factor.id === token);
  if (id >= 0) return [id];
  return token.split("").map((letter) => {
    const place = LETTERS.indexOf(letter);
    return place < factors.length ? place : -1;
  });
}

function generatorsFault(generators: readonly Generator[], factors: readonly DesignFactor[]): string | undefined {
  const made = new Set(generators.map(({ factor }) => factor));
  if (made.size < generators.length) return "a factor has two generators";
  const leaning = generators.find(({ product }) => product.some((place) => made.has(place)));
  if (leaning === undefined) return undefined;
  return `the generator of ${factors[leaning.factor]?.id} uses a factor that has a generator itself`;
}
