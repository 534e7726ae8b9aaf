/**
 * Slope of log y over log x by least squares: 1 where y grows in step with x.
 *
 * @param points - x and y, both above 0
 * @returns NaN with fewer than two different x
 */
export function logSlope(points: readonly (readonly [number, number])[]): number {
  const logs = points.map(([x, y]) => [Math.log(x), Math.log(y)] as const);
  const mean = (of: (point: readonly [number, number]) => number): number =>
    logs.reduce((sum, point) => sum + of(point), 0) / logs.length;
  const [x, y] = [mean(([one]) => one), mean(([, one]) => one)];
  return mean((point) => (point[0] - x) * (point[1] - y)) / mean((point) => (point[0] - x) ** 2);
}
