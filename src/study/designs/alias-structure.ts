import type { DesignFactor, DesignProperty } from "./family.ts";
import { wordProperty } from "./properties.ts";

/** An effect: one factor or two. */
interface Effect {
  readonly places: readonly number[];
  readonly column: readonly number[];
}

/** Effects that a design cannot tell apart, each with its sign against the first. */
type AliasGroup = readonly { readonly effect: Effect; readonly isOpposite: boolean }[];

/**
 * Alias structure of a two-level design up to two-factor interactions, read off its columns: effects whose columns are
 * equal or opposite are estimated together. Higher interactions are taken as negligible.
 *
 * Source: G. E. P. Box, J. S. Hunter, W. G. Hunter, Statistics for Experimenters, chapter 6.
 */
export function aliasProperties(
  rows: readonly (readonly number[])[],
  factors: readonly DesignFactor[],
): DesignProperty[] {
  const groups = aliasGroups(effectsOf(rows, factors.length));
  const name = (effect: Effect): string => effect.places.map((place) => factors[place]?.id ?? "").join(" × ");
  const pairs = groups.filter(([first]) => first?.effect.places.length === 2);
  return [
    ...groups.filter(([first]) => first?.effect.places.length === 1).map((group) => mainProperty(group, name)),
    wordProperty(
      "clear two-factor interactions",
      listed(pairs.filter((group) => group.length === 1).map((group) => chain(group, name))),
    ),
    wordProperty(
      "two-factor interactions aliased with each other",
      listed(pairs.filter((group) => group.length > 1).map((group) => chain(group, name))),
    ),
  ];
}

function listed(texts: readonly string[]): string {
  return texts.length === 0 ? "none" : texts.join("; ");
}

function mainProperty(group: AliasGroup, name: (effect: Effect) => string): DesignProperty {
  const [first, ...others] = group;
  const main = first === undefined ? "" : name(first.effect);
  const rest = others.map(({ effect, isOpposite }) => `${isOpposite ? "− " : ""}${name(effect)}`);
  const value =
    rest.length === 0 ? "clear of main effects and two-factor interactions" : `aliased with ${rest.join(", ")}`;
  return wordProperty(`main effect of ${main}`, value);
}

function chain(group: AliasGroup, name: (effect: Effect) => string): string {
  return group.map(({ effect, isOpposite }) => `${isOpposite ? "−" : ""}${name(effect)}`).join(" = ");
}

function effectsOf(rows: readonly (readonly number[])[], factors: number): Effect[] {
  const places = Array.from({ length: factors }, (_, k) => k);
  const sets = [...places.map((a) => [a]), ...places.flatMap((a) => places.slice(a + 1).map((b) => [a, b]))];
  return sets.map((set) => ({
    places: set,
    column: rows.map((row) => set.reduce((product, place) => product * (row[place] ?? 0), 1)),
  }));
}

function aliasGroups(effects: readonly Effect[]): AliasGroup[] {
  const groups = new Map<string, { effect: Effect; isOpposite: boolean }[]>();
  for (const effect of effects) {
    const lead = effect.column[0] ?? 1;
    const key = effect.column.map((x) => (x === lead ? "s" : "o")).join("");
    const group = groups.get(key) ?? [];
    const first = group[0]?.effect.column[0] ?? lead;
    groups.set(key, [...group, { effect, isOpposite: first !== lead }]);
  }
  return [...groups.values()];
}

/** Largest correlation, without its sign, of a main effect with an interaction of two other factors. */
export function largestPartialAlias(rows: readonly (readonly number[])[], factors: number): number {
  const effects = effectsOf(rows, factors);
  const mains = effects.filter(({ places }) => places.length === 1);
  let largest = 0;
  for (const { places, column } of effects) {
    if (places.length === 1) continue;
    for (const main of mains) {
      if (places.includes(main.places[0] ?? -1)) continue;
      const product = column.reduce((sum, x, i) => sum + x * (main.column[i] ?? 0), 0);
      largest = Math.max(largest, Math.abs(product) / rows.length);
    }
  }
  return largest;
}
