/** Kinds of parts in the order in which they are filled up. */
type Kind = "motors" | "gearboxes" | "drives" | "supplies" | "resistors" | "inductors";

/** Shares of all parts, about those of the demonstration catalogues. */
const SHARES: Readonly<Record<Exclude<Kind, "motors">, number>> = {
  gearboxes: 0.33,
  drives: 0.1,
  supplies: 0.03,
  resistors: 0.02,
  inductors: 0.01,
};

/** Most parts of a maker: its drives then still differ in current. */
const PARTS_OF_A_MAKER = 350;

/** How many parts of each kind each maker sells: whole numbers that add up to all parts. */
export function sharesOf(parts: number): readonly Readonly<Record<Kind, number>>[] {
  const makers = Math.max(2, Math.ceil(parts / PARTS_OF_A_MAKER));
  return Array.from({ length: makers }, (_, at) => {
    const own = portion(parts, makers, at);
    const counts = Object.fromEntries(
      Object.entries(SHARES).map(([kind, share]) => [kind, Math.max(1, Math.round(share * own))]),
    ) as Readonly<Record<Exclude<Kind, "motors">, number>>;
    const others = Object.values(counts).reduce((sum, count) => sum + count, 0);
    return { motors: own - others, ...counts };
  });
}

/** The n-th of so many portions of a whole number, as even as can be. */
export function portion(all: number, portions: number, at: number): number {
  return Math.floor(((at + 1) * all) / portions) - Math.floor((at * all) / portions);
}
