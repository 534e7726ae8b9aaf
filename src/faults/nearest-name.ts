/**
 * The known name a misspelt one was most likely meant to be, or undefined when none is close.
 *
 * Close: at most a third of the letters, and at most three, inserted, deleted, changed or swapped with their neighbour.
 * Case does not count. The first of equals wins.
 */
export function nearestName(name: string, known: readonly string[]): string | undefined {
  const most = Math.min(3, Math.floor(name.length / 3));
  let best: { readonly name: string; readonly distance: number } | undefined;
  for (const candidate of known) {
    if (Math.abs(candidate.length - name.length) > most) continue;
    const distance = editDistance(name.toLowerCase(), candidate.toLowerCase());
    if (distance <= most && distance < (best?.distance ?? Infinity)) best = { name: candidate, distance };
  }
  return best?.name;
}

/**
 * Damerau-Levenshtein distance, restricted to swaps of neighbours (optimal string alignment).
 * Source: F. J. Damerau, "A technique for computer detection and correction of spelling errors", CACM 7(3), 1964.
 */
export function editDistance(a: string, b: string): number {
  let beforeLast: readonly number[] = [];
  let last: readonly number[] = Array.from({ length: b.length + 1 }, (_, column) => column);
  for (let row = 1; row <= a.length; row++) {
    const current = [row];
    for (let column = 1; column <= b.length; column++) {
      const same = a[row - 1] === b[column - 1];
      const changed = at(last, column - 1) + (same ? 0 : 1);
      const swapped = isSwap(a, b, row, column) ? at(beforeLast, column - 2) + 1 : Infinity;
      current.push(Math.min(at(last, column) + 1, at(current, column - 1) + 1, changed, swapped));
    }
    beforeLast = last;
    last = current;
  }
  return at(last, b.length);
}

function isSwap(a: string, b: string, ...[row, column]: readonly [number, number]): boolean {
  return row > 1 && column > 1 && a[row - 1] === b[column - 2] && a[row - 2] === b[column - 1];
}

function at(row: readonly number[], column: number): number {
  return row[column] ?? Infinity;
}
