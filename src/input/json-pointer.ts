/** A JSON Pointer one step longer. Source: RFC 6901, section 3. */
export function joinPointer(pointer: string, step: string | number): string {
  return `${pointer}/${String(step).replaceAll("~", "~0").replaceAll("/", "~1")}`;
}
