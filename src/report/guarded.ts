// What a spreadsheet would take for the start of a formula, full-width forms and leading blanks included.
const FORMULA = /^[\s\p{Cc}]*[=+\-@\uff1d\uff0b\uff0d\uff20]|^[\t\r\n]/u;

/** A text cell that no spreadsheet runs: an apostrophe goes in front of what could start a formula. */
export function guarded(text: string): string {
  return FORMULA.test(text) ? `'${text}` : text;
}
