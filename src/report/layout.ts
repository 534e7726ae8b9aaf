/** Hard limit of every printed line [columns]. */
const WIDTH = 80;

/** Keeps a number and its unit on one line; printed as a space. */
export const TIE = "\u00a0";

/** Columns a line's wrapped text starts at: its first line and the lines after it. */
export interface Indent {
  readonly first: number;
  readonly rest: number;
}

// Escape sequences in a part name would reach the terminal, and bidirectional marks would reorder a line.
const UNPRINTABLE = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Co}\p{Cs}]/gu;
const MARK = /\p{M}/u;
const WIDE =
  /[\p{Script=Han}\p{Script=Hiragana}\p{Script=Katakana}\p{Script=Hangul}\p{Emoji_Presentation}\uff01-\uff60]/u;

/** Text of the user, safe to print: control and format characters become question marks. */
export function printable(text: string): string {
  return text.normalize("NFC").replace(UNPRINTABLE, "?");
}

/** Columns a text takes on a terminal. */
export function columnsOf(text: string): number {
  let columns = 0;
  for (const character of text) columns += columnsOfOne(character);
  return columns;
}

/** Pads to a column; always leaves at least one space. */
function padTo(text: string, columns: number): string {
  return text + " ".repeat(Math.max(1, columns - columnsOf(text)));
}

/** A text in lines of at most 80 columns, broken at spaces; words longer than a line are cut. */
export function wrap(text: string, indent: Indent): string[] {
  const lines: string[] = [];
  let line = " ".repeat(indent.first);
  let empty = true;
  for (const word of text.split(" ").flatMap((whole) => pieces(whole, WIDTH - Math.max(indent.first, indent.rest)))) {
    if (!empty && columnsOf(line) + 1 + columnsOf(word) > WIDTH) {
      lines.push(line);
      line = " ".repeat(indent.rest);
      empty = true;
    }
    line += empty ? word : ` ${word}`;
    empty = false;
  }
  return [...lines, line].map((each) => each.replaceAll(TIE, " ").trimEnd());
}

/** A body beside a label in the left margin, such as `SET       traverse 6.8 A, lift 9.5 A`. */
export function labelled(label: string, body: string, column: number | Indent): string[] {
  const indent = typeof column === "number" ? { first: column, rest: column } : column;
  const lines = wrap(body, indent);
  if (columnsOf(label) >= indent.first) return [...wrap(label, { first: 0, rest: 2 }), ...lines];
  return lines.map((line, index) => (index === 0 ? padTo(label, indent.first) + line.slice(indent.first) : line));
}

/** The last line with a text at the right margin, on a line of its own when there is no room. */
export function withRight(lines: readonly string[], right: string): string[] {
  const last = lines.at(-1) ?? "";
  const room = WIDTH - columnsOf(last) - columnsOf(right);
  if (room >= 2) return [...lines.slice(0, -1), last + " ".repeat(room) + right];
  const own = wrap(right, { first: 0, rest: 0 });
  return [...lines, ...own.map((line) => " ".repeat(Math.max(0, WIDTH - columnsOf(line))) + line)];
}

/** Emphasises a text that begins a line, if it is still in one piece there. */
export function emphasise(lines: readonly string[], start: string, paint: (text: string) => string): string[] {
  return lines.map((line, index) =>
    index === 0 && line.startsWith(start) ? paint(start) + line.slice(start.length) : line,
  );
}

/** Joins as a person would: `a, b and c`. */
export function listed(items: readonly string[]): string {
  const last = items.at(-1) ?? "";
  return items.length < 2 ? last : `${items.slice(0, -1).join(", ")} and ${last}`;
}

function columnsOfOne(character: string): number {
  if (MARK.test(character)) return 0;
  return WIDE.test(character) ? 2 : 1;
}

function pieces(word: string, columns: number): string[] {
  if (columnsOf(word) <= columns) return [word];
  const found: string[] = [];
  let piece = "";
  for (const character of word) {
    if (columnsOf(piece + character) > columns) {
      found.push(piece);
      piece = "";
    }
    piece += character;
  }
  return [...found, piece];
}
