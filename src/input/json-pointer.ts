/** A JSON Pointer one step longer. Source: RFC 6901, section 3. */
export function joinPointer(pointer: string, step: string | number): string {
  return `${pointer}/${String(step).replaceAll("~", "~0").replaceAll("/", "~1")}`;
}

/** The steps of a JSON Pointer, or undefined when the text is none. Source: RFC 6901, sections 3 and 4. */
export function pointerSteps(pointer: string): readonly string[] | undefined {
  const isPointer = pointer === "" || (pointer.startsWith("/") && !/~(?![01])/u.test(pointer));
  if (!isPointer) return undefined;
  const steps = pointer.split("/").slice(1);
  return steps.map((step) => step.replaceAll("~1", "/").replaceAll("~0", "~"));
}
