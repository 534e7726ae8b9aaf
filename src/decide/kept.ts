import { DRIVE_STATE } from "../candidates/judge-drives.ts";
import type { Field } from "./field.ts";
import { filtered, type JudgedAxis, type Look } from "./judged-axis.ts";
import { eachWithin, type PricedField } from "./priced-field.ts";

/** What is left of a field's candidates, packed: most often far too many to tell one by one. */
export interface KeptField {
  /** Candidates, counted in each of their cases. */
  readonly size: number;
  /** By look and pair of it; undefined where nothing of the pair is left. */
  readonly looks: readonly (readonly (KeptPair | undefined)[])[];
}

interface KeptPair {
  /** By drive, as in the judging. */
  readonly state: Uint8Array;
  /** By drive: the inductors it keeps. */
  readonly inductors: Map<number, number[]>;
}

/** Nothing of the field is left. */
export const NOTHING_KEPT: KeptField = Object.freeze({ size: 0, looks: [] });

/** Packs the candidates whose bound leaves room for an answer as good as the best known. */
export function keptWithin(field: Field, priced: PricedField, room: number): KeptField {
  const { looks } = field.lead;
  const kept = looks.map(({ judged }) => judged.pairs.map((): KeptPair | undefined => undefined));
  let size = 0;
  eachWithin(field, priced, room, ({ look, pair, drive, inductor }) => {
    size += 1;
    const own = (kept[look]![pair] ??= newPair(looks[look]!));
    own.state[drive]! |= inductor < 0 ? DRIVE_STATE.alone : DRIVE_STATE.withInductor;
    if (inductor >= 0) noteInductor(own, drive, inductor);
  });
  return { size, looks: kept };
}

function newPair({ judged }: Look): KeptPair {
  return { state: new Uint8Array(judged.drives.rows.length), inductors: new Map() };
}

/** A candidate comes once for each of its cases. */
function noteInductor({ inductors }: KeptPair, drive: number, inductor: number): void {
  const known = inductors.get(drive);
  if (known === undefined) inductors.set(drive, [inductor]);
  else if (!known.includes(inductor)) known.push(inductor);
}

/** An axis with only the candidates that are left of its field. */
export function keptAxis(axis: JudgedAxis, kept: KeptField): JudgedAxis {
  const looks = axis.looks.flatMap((look, l): Look[] => {
    const own = kept.looks[l] ?? [];
    const judged = filtered(look.judged, (of, _, p) => {
      const state = own[p]?.state;
      return state === undefined ? undefined : { ...of, state };
    });
    const left = own.filter((pair) => pair !== undefined);
    const pairs = judged.pairs.map((pair, p) => ({ ...pair, inductors: left[p]?.inductors ?? pair.inductors }));
    return pairs.length === 0 ? [] : [{ cases: look.cases, judged: { ...judged, pairs } }];
  });
  return { ...axis, looks };
}
