/**
 * Generating rows: the design is the cyclic shifts of the row and a last row of minus signs.
 *
 * Source: R. L. Plackett, J. P. Burman, "The design of optimum multifactorial experiments", Biometrika 33 (1946) 305–325,
 * as given in the tables of the R package FrF2.
 */
export const GENERATING_ROWS: Readonly<Record<number, string>> = {
  8: "+++-+--",
  12: "++-+++---+-",
  16: "++++-+-++--+---",
  20: "++--++++-+-+----++-",
  24: "+++++-+-++--++--+-+----",
  36: "-+-+++---+++++-+++--+----+-+-++--+-",
};

/**
 * The 28-run design: three blocks of nine rows side by side, then shifted twice by one block, and a last row of minus
 * signs.
 *
 * Source: Plackett and Burman (1946), from memory; that it is balanced and orthogonal is tested.
 */
export const BLOCKS_28: readonly string[] = [
  "+-++++---  -+---+--+  ++-+-++-+",
  "++-+++---  --++--+--  -++++-++-",
  "-+++++---  +---+--+-  +-+-++-++",
  "---+-++++  --+-+---+  +-+++-+-+",
  "---++-+++  +----++--  ++--++++-",
  "----+++++  -+-+---+-  -+++-+-++",
  "+++---+-+  --+--+-+-  +-++-+++-",
  "+++---++-  +--+----+  ++-++--++",
  "+++----++  -+--+-+--  -++-+++-+",
];
