/** A name as documents spell it: `lack_of_fit` of `lackOfFit`. */
type SnakeCase<Name extends string> = Name extends `${infer First}${infer Rest}`
  ? `${First extends Lowercase<First> ? First : `_${Lowercase<First>}`}${SnakeCase<Rest>}`
  : Name;

/** The same figures under names as documents spell them, all the way down. */
export type Snaked<T> = T extends readonly (infer Entry)[]
  ? readonly Snaked<Entry>[]
  : T extends object
    ? { readonly [Key in keyof T as Key extends string ? SnakeCase<Key> : never]: Snaked<T[Key]> }
    : T;

/**
 * Plain figures under names as documents spell them. Statistics have names of the language they are written in, and
 * enter a document here. Not for objects whose keys are somebody's own, such as ids: they would be changed, too.
 */
export function snaked<T>(figures: T): Snaked<T>;
export function snaked(figures: unknown): unknown {
  if (Array.isArray(figures)) return figures.map((entry: unknown) => snaked(entry));
  if (typeof figures !== "object" || figures === null) return figures;
  return Object.fromEntries(
    Object.entries(figures).map(([name, own]: [string, unknown]) => [spelt(name), snaked(own)]),
  );
}

function spelt(name: string): string {
  return name.replaceAll(/[A-Z]/gu, (letter) => `_${letter.toLowerCase()}`);
}
