/**
 * The n-th least of some values (0: the least), by Hoare's quickselect: about as many steps as there are values.
 *
 * @param values - reordered
 * @throws RangeError where there are fewer
 * @remarks C. A. R. Hoare, Algorithm 65: Find, Communications of the ACM 4 (1961); from memory.
 */
export function nthLeast(values: Float64Array, n: number): number {
  if (n < 0 || n >= values.length) throw new RangeError(`no value ${n} among ${values.length}`);
  let [first, last] = [0, values.length - 1];
  while (first < last) {
    const pivot = values[(first + last) >> 1]!;
    let [low, high] = [first, last];
    while (low <= high) {
      while (values[low]! < pivot) low += 1;
      while (values[high]! > pivot) high -= 1;
      if (low > high) break;
      const one = values[low]!;
      values[low] = values[high]!;
      values[high] = one;
      low += 1;
      high -= 1;
    }
    if (n <= high) last = high;
    else if (n >= low) first = low;
    else break;
  }
  return values[n]!;
}
