import {
  type Design,
  type DesignFactor,
  type DesignPoint,
  type DesignProperty,
  type DesignRefusal,
  type DesignRequest,
  type DesignSettings,
  extendDesign,
  isRefusal,
  makeDesign,
} from "../../../src/study/designs/design.ts";

export const LETTERS = "ABCDEFGHJKLMNOPQRSTUVWXYZabcdefghij";

/** Continuous factors A, B, C …, numbered where the letters end. */
export function continuous(count: number): DesignFactor[] {
  return Array.from({ length: count }, (_, k) => ({ id: LETTERS[k] ?? `factor ${k + 1}`, isCategorical: false }));
}

/** Settings without constraints. */
export const FREE: DesignSettings = { seed: 11, isAllowed: () => true };

/** A design that must come. */
export function made(request: DesignRequest, factors: readonly DesignFactor[], settings = FREE): Design {
  return come(makeDesign(request, factors, settings));
}

/** A longer design that must come. */
export function longer(
  design: Design,
  request: DesignRequest,
  factors: readonly DesignFactor[],
  { more = 1, settings = FREE }: { more?: number; settings?: DesignSettings } = {},
): Design {
  return come(extendDesign(design, request, factors, settings, more));
}

function come(design: Design | DesignRefusal): Design {
  if (isRefusal(design)) throw new Error(`refused: ${design.refused}`);
  return design;
}

/** A refusal that must come. */
export function refused(design: Design | DesignRefusal): DesignRefusal {
  if (!isRefusal(design)) throw new Error(`not refused: ${design.kind} of ${design.points.length} runs`);
  return design;
}

/** Value of a property. */
export function said(design: Design, name: string): string {
  return property(design, name).value;
}

/** Figure of a property. */
export function figure(design: Design, name: string): number {
  return property(design, name).figure ?? Number.NaN;
}

function property(design: Design, name: string): DesignProperty {
  const found = design.properties.find((each) => each.name === name);
  if (found === undefined)
    throw new Error(`no property ${name}: ${design.properties.map((each) => each.name).join(", ")}`);
  return found;
}

/** Sums of products of columns. */
export function gram(points: readonly DesignPoint[]): number[][] {
  const places = (points[0] ?? []).map((_, k) => k);
  return places.map((a) =>
    places.map((b) => points.reduce((sum, point) => sum + (point[a] ?? 0) * (point[b] ?? 0), 0)),
  );
}

/** n times the identity. */
export function scaledIdentity(size: number, n: number): number[][] {
  return Array.from({ length: size }, (_, a) => Array.from({ length: size }, (_other, b) => (a === b ? n : 0)));
}
