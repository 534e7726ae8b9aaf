/** Least squares of doubles in exact rational arithmetic: the normal equations lose nothing there. */
export function exactLeastSquares(columns: readonly (readonly number[])[], response: readonly number[]): number[] {
  const whole = [...columns, response].map(wholeNumbers);
  const numbers = whole.map(({ values }) => values);
  const y = numbers.at(-1) ?? [];
  const rows = numbers.slice(0, -1).map((a) => [...numbers.slice(0, -1), y].map((b) => dot(a, b)));
  const solved = solveExactly(rows);
  const shift = whole.at(-1)?.shift ?? 0;
  // The columns were multiplied by 2^shift each: so is the answer, the other way round.
  return solved.map(([top, bottom], k) => ratio(top, bottom) * 2 ** ((whole[k]?.shift ?? 0) - shift));
}

/** Values times 2^shift, all whole. */
function wholeNumbers(values: readonly number[]): { values: bigint[]; shift: number } {
  let shift = 0;
  while (values.some((value) => !Number.isInteger(value * 2 ** shift))) shift++;
  return { values: values.map((value) => BigInt(value * 2 ** shift)), shift };
}

function dot(a: readonly bigint[], b: readonly bigint[]): bigint {
  return a.reduce((sum, value, k) => sum + value * (b[k] ?? 0n), 0n);
}

/** Bareiss elimination, both ways; numerator and denominator of each unknown. */
function solveExactly(rows: readonly bigint[][]): [bigint, bigint][] {
  let work = rows;
  let before = 1n;
  rows.forEach((_, k) => {
    const pivotRow = work[k] ?? [];
    const pivot = pivotRow[k] ?? 0n;
    const divisor = before;
    if (pivot === 0n) throw new Error("columns are dependent");
    work = work.map((row, i) => {
      const factor = row[k] ?? 0n;
      return i === k ? row : row.map((value, j) => (value * pivot - factor * (pivotRow[j] ?? 0n)) / divisor);
    });
    before = pivot;
  });
  return work.map((row, k) => [row.at(-1) ?? 0n, row[k] ?? 1n]);
}

function ratio(top: bigint, bottom: bigint): number {
  const bits = BigInt(Math.max(0, bottom.toString(2).length - top.toString(2).length) + 80);
  let quotient = Number((top << bits) / bottom);
  for (let left = Number(bits); left > 0; left -= Math.min(left, 500)) quotient /= 2 ** Math.min(left, 500);
  return quotient;
}
