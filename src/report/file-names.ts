const MOST_LETTERS = 100;

/** Names that any file system takes, without endings: letters, digits and `-_` only, none twice. */
export function fileNames(names: readonly string[]): string[] {
  const known = new Map<string, number>();
  return names.map(plainName).map((name) => {
    // Some file systems take upper and lower case for the same.
    const key = name.toLowerCase();
    const before = known.get(key) ?? 0;
    known.set(key, before + 1);
    return before === 0 ? name : `${name}.${before + 1}`;
  });
}

function plainName(name: string): string {
  return name
    .normalize("NFC")
    .replaceAll(/[^\p{L}\p{N}_-]/gu, "_")
    .slice(0, MOST_LETTERS);
}
