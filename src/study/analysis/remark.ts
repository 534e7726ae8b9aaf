/** Why a figure that was asked for is absent. */
export type Reason =
  | "no-error-freedom"
  | "no-error"
  | "no-replicates"
  | "no-pure-error"
  | "no-lack-of-fit-freedom"
  | "no-freedom"
  | "constant"
  | "full-leverage"
  | "no-runs"
  | "too-few-effects"
  | "all-zero-effects"
  | "terms-missing"
  | "slopes-differ"
  | "no-slope"
  | "singular"
  | "no-pairs"
  | "power-of-negatives";

/** A figure that there cannot be, and why. */
export interface Absent {
  readonly absent: Reason;
}

/** A number, or why there is none; never NaN or infinite. */
export type Figure = number | Absent;

/** Each reason in words, to be read after "none: ". */
export const REASON_WORDS: Readonly<Record<Reason, string>> = {
  "no-error-freedom":
    "the model has as many coefficients as there are runs, which leaves no degrees of freedom for error",
  "no-error": "the model meets every run exactly, so there is no error to compare with",
  "no-replicates": "no two runs share all their settings",
  "no-pure-error": "runs that share all their settings agree exactly",
  "no-lack-of-fit-freedom": "the model has as many coefficients as there are distinct settings",
  "no-freedom": "there are no degrees of freedom for it",
  constant: "it does not vary",
  "full-leverage": "a coefficient hangs on a single run, which cannot be predicted without it",
  "no-runs": "no run gave a value",
  "too-few-effects": "at least two effects are needed",
  "all-zero-effects": "half of the effects or more are zero",
  "terms-missing": "a term of second order of these factors is missing from the model or aliased",
  "slopes-differ": "the slopes hang on the level of a categorical factor",
  "no-slope": "the model does not slope at the centre",
  singular: "the surface is flat along some direction",
  "no-pairs": "no two runs differ in this factor alone",
  "power-of-negatives": "powers are for values above zero",
};

/** What a column that was left out amounts to: the sum of other columns times their shares. */
export interface AliasPart {
  readonly column: string;
  readonly share: number;
}

/** Something a reader has to know before believing an analysis. */
export type Remark =
  | { readonly kind: "lost-runs"; readonly lost: number; readonly of: number }
  | { readonly kind: "lost-blocks"; readonly lost: number; readonly of: number }
  | { readonly kind: "no-runs" }
  | { readonly kind: "constant-response"; readonly value: number }
  | { readonly kind: "saturated"; readonly coefficients: number }
  | { readonly kind: "exact-fit" }
  | { readonly kind: "aliased"; readonly column: string; readonly of: readonly AliasPart[] }
  | { readonly kind: "near-ridge"; readonly directions: number };

type Words = { readonly [K in Remark["kind"]]: (remark: Extract<Remark, { kind: K }>) => string };

const WORDS: Words = {
  "lost-runs": ({ lost, of }) => `${lost} of ${of} runs gave no value (infeasible) and are left out`,
  "lost-blocks": ({ lost, of }) => `${lost} of ${of} blocks hold a run without a value (infeasible) and are left out`,
  "no-runs": () => REASON_WORDS["no-runs"],
  "constant-response": ({ value }) => `the response is ${value} in every run: no factor moves it`,
  saturated: ({ coefficients }) =>
    `${coefficients} coefficients take as many runs: no degrees of freedom for error, no standard errors`,
  "exact-fit": () => "the model meets every run exactly: standard errors are zero and nothing is tested",
  aliased: ({ column, of }) => `${column} is left out: ${aliasWords(of)}`,
  "near-ridge": ({ directions }) =>
    `the surface is nearly flat along ${directions} direction${directions === 1 ? "" : "s"}: the stationary point is uncertain there`,
};

/** A remark in words. */
export function remarkWords<K extends Remark["kind"]>(remark: Extract<Remark, { kind: K }>): string {
  const words: (remark: Extract<Remark, { kind: K }>) => string = WORDS[remark.kind];
  return words(remark);
}

function aliasWords(of: readonly AliasPart[]): string {
  if (of.length === 0) return "it is zero in every run";
  return `in these runs it equals ${of.map(partWords).join(" ").replace(/^\+ /u, "")}`;
}

function partWords({ column, share }: AliasPart): string {
  const size = Math.abs(share);
  return `${share < 0 ? "−" : "+"} ${size === 1 ? "" : `${Number(size.toPrecision(6))} × `}${column}`;
}

/** Whether a figure is there. */
export function isKnown(figure: Figure): figure is number {
  return typeof figure === "number";
}

/** What a figure gives, where it is there. */
export function mapFigure(figure: Figure, change: (value: number) => Figure): Figure {
  return isKnown(figure) ? change(figure) : figure;
}
