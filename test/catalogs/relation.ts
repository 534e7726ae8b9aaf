import { type Kind, numberOf, type Part } from "./sheets.ts";

export const COMMON = "common practice, no source";

/** One statement about the parts of a kind, with the spoilt row that must break it. */
export interface Relation {
  readonly kind: Kind;
  readonly title: string;
  readonly source: string;
  readonly applies: (part: Part) => boolean;
  readonly offenders: (parts: readonly Part[]) => string[];
  /** A column and what its number is multiplied with, or the text it is replaced by. */
  readonly spoil: readonly [string, number | string];
}

interface RowRelation {
  readonly title: string;
  readonly source: string;
  /** Rows in which one of these is empty are left out. */
  readonly uses: readonly string[];
  readonly where?: (part: Part) => boolean;
  readonly holds: (value: (column: string) => number, part: Part) => boolean;
  readonly spoil: readonly [string, number | string];
}

export function nameOf({ maker, texts }: Part): string {
  return `${maker} ${texts["part"]}`;
}

/** A statement about one row at a time. */
export function row(kind: Kind, { title, source, uses, where = () => true, holds, spoil }: RowRelation): Relation {
  const applies = (part: Part): boolean =>
    part.kind === kind && where(part) && uses.every((column) => part.numbers[column] !== undefined);
  const broken = (part: Part): boolean => !holds((column) => numberOf(part, column), part);
  return {
    kind,
    title,
    source,
    spoil,
    applies,
    offenders: (parts) => parts.filter((part) => applies(part) && broken(part)).map(nameOf),
  };
}

interface GroupRelation {
  readonly title: string;
  readonly source: string;
  readonly group: (part: Part) => string;
  readonly where?: (part: Part) => boolean;
  readonly holds: (first: Part, second: Part) => boolean;
  readonly spoil: readonly [string, number | string];
}

/** A statement about every two rows of a group. */
export function pair(kind: Kind, { title, source, group, where = () => true, holds, spoil }: GroupRelation): Relation {
  const applies = (part: Part): boolean => part.kind === kind && where(part);
  const offenders = (parts: readonly Part[]): string[] => {
    const groups = new Map<string, Part[]>();
    for (const part of parts.filter(applies)) groups.set(group(part), [...(groups.get(group(part)) ?? []), part]);
    return [...groups.values()].flatMap((members) =>
      members.flatMap((first) =>
        members
          .filter((second) => first !== second && !holds(first, second))
          .map((second) => `${nameOf(first)} against ${nameOf(second)}`),
      ),
    );
  };
  return { kind, title, source, spoil, applies, offenders };
}

/** The part with one cell changed. */
export function spoilt(part: Part, [column, change]: Relation["spoil"]): Part {
  if (typeof change === "string") return { ...part, texts: { ...part.texts, [column]: change } };
  return { ...part, numbers: { ...part.numbers, [column]: numberOf(part, column) * change } };
}

export function within(value: number, low: number, high: number): boolean {
  return value >= low && value <= high;
}

/** Equal within a share of the larger. */
export function alike(first: number, second: number, share: number): boolean {
  return Math.abs(first - second) <= share * Math.max(Math.abs(first), Math.abs(second));
}
