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
/** A plus, a triangle on its tip and a cross as paths, drawn into the size of the sign. */
const PLUS = "path://M3.3 0L6.7 0L6.7 3.3L10 3.3L10 6.7L6.7 6.7L6.7 10L3.3 10L3.3 6.7L0 6.7L0 3.3L3.3 3.3Z";
const TIP = "path://M0 0L10 0L5 10Z";
export const CROSS = "path://M0 2.2L2.2 0L5 2.8L7.8 0L10 2.2L7.2 5L10 7.8L7.8 10L5 7.2L2.2 10L0 7.8L2.8 5Z";

const SYMBOLS: readonly string[] = ["circle", "rect", "triangle", "diamond", PLUS, TIP, CROSS];

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
