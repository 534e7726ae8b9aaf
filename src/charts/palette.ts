/**
 * Colours that stay apart for the colour-blind, strongest on white first.
 *
 * Source: M. Okabe and K. Ito, "Color Universal Design", 2008 (values from memory).
 */
const SET: readonly string[] = [
  "#0072b2", // blue
  "#d55e00", // vermillion
  "#009e73", // bluish green
  "#cc79a7", // reddish purple
  "#e69f00", // orange
  "#56b4e9", // sky blue
  "#000000", // black
];

export const BLUE = "#0072b2";
export const VERMILLION = "#d55e00";
export const GREEN = "#009e73";
export const PURPLE = "#cc79a7";

/** Text. */
export const INK = "#1a1a1a";
/** Text and lines of less weight; 7:1 on white. */
export const SOFT_INK = "#555555";
/** What is there but does not matter. */
export const GREY = "#b3b3b3";
export const PALE = "#e6e6e6";
export const PAPER = "#ffffff";

/**
 * From low to high; every step is light enough for black text, and darker than the one before it in grey, too.
 *
 * Source: C. Brewer and M. Harrower, ColorBrewer 2.0, "Blues", nine classes, the first six.
 */
export const STEPS: readonly string[] = ["#f7fbff", "#deebf7", "#c6dbef", "#9ecae1", "#6baed6", "#4292c6"];

/** So that curves can be told apart without colour. */
const DASHES: readonly (readonly number[] | "solid")[] = ["solid", [8, 4], [2, 3], [10, 3, 2, 3], [14, 4]];
const SYMBOLS: readonly string[] = ["circle", "rect", "triangle", "diamond", "pin", "roundRect", "arrow"];

/** How the k-th of several curves or kinds of point is drawn. */
export interface Look {
  readonly color: string;
  readonly dash: "solid" | number[];
  readonly symbol: string;
}

/** Look of the k-th thing; the first 35 differ in colour and dash, the first 7 in colour and symbol alone. */
export function lookOf(index: number): Look {
  const dash = DASHES[index % DASHES.length] ?? "solid";
  const round = Math.floor(index / SET.length);
  return {
    color: SET[index % SET.length] ?? INK,
    dash: dash === "solid" ? dash : [...dash],
    symbol: SYMBOLS[(index + round) % SYMBOLS.length] ?? "circle",
  };
}
