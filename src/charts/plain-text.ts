// Not allowed in XML, or able to reorder the text around it; line breaks and tabs would tear a label apart.
const UNPRINTABLE = /[\p{Cc}\p{Cs}\p{Zl}\p{Zp}\u{fffe}\u{ffff}\u{202a}-\u{202e}\u{2066}-\u{2069}]/gu;

/** Text of the user as one line; what cannot be drawn becomes a question mark, nothing at all a dash. */
export function plainText(text: string): string {
  const line = text.normalize("NFC").replaceAll(/\s+/gu, " ").replaceAll(UNPRINTABLE, "?").trim();
  return line === "" ? "–" : line;
}

/** At most so many letters, the last of them dots where some are left out. */
export function shortened(text: string, most: number): string {
  const letters = Array.from(plainText(text));
  return letters.length <= most
    ? letters.join("")
    : `${letters
        .slice(0, most - 1)
        .join("")
        .trimEnd()}…`;
}

/** A number for a label: four significant digits, all digits before the point, thousands set apart. */
export function numberText(value: number): string {
  const rounded = Math.abs(value) >= 1000 ? Math.round(value) : Number(value.toPrecision(4));
  const size = Math.abs(rounded);
  if (size !== 0 && (size < 1e-4 || size >= 1e12)) return String(Number(value.toPrecision(4)));
  const [whole = "0", fraction] = String(size).split(".");
  const grouped = whole.replaceAll(/\B(?=(?:\d{3})+$)/gu, ",");
  return `${rounded < 0 ? "-" : ""}${grouped}${fraction === undefined ? "" : `.${fraction}`}`;
}

/** `1 effect`, `2 effects`. */
export function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? "" : "s"}`;
}
