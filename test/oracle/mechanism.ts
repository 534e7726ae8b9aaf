import type { Axis, ScrewEnds } from "../../src/machine/problem.ts";
import type { Finding } from "./rest.ts";
import type { Shaft } from "./shaft.ts";

/** Boundary condition of a bending beam, 0 at its roots, and where the first root lies. */
const BEAMS: Readonly<Record<ScrewEnds, readonly [(x: number) => number, number, number]>> = {
  "fixed-free": [(x) => Math.cos(x) * Math.cosh(x) + 1, 1, 3],
  "supported-supported": [(x) => Math.sin(x), 2, 4],
  "fixed-supported": [(x) => Math.cos(x) * Math.sinh(x) - Math.sin(x) * Math.cosh(x), 3, 5],
  "fixed-fixed": [(x) => Math.cos(x) * Math.cosh(x) - 1, 4, 6],
};

function bisected(f: (x: number) => number, low: number, high: number): number {
  let [a, b] = [low, high];
  for (let step = 0; step < 80; step++) {
    const middle = (a + b) / 2;
    if (f(a) * f(middle) <= 0) b = middle;
    else a = middle;
  }
  return (a + b) / 2;
}

/** First bending frequency of a steel bar, E = 206 GPa, 7850 kg/m³ [rad/s]. */
export function whirling(diameter: number, length: number, ends: ScrewEnds): number {
  const area = (Math.PI * diameter ** 2) / 4;
  const moment = (Math.PI * diameter ** 4) / 64;
  const [beam, low, high] = BEAMS[ends];
  return (bisected(beam, low, high) / length) ** 2 * Math.sqrt((206e9 * moment) / (7850 * area));
}

function largest(values: Float64Array): number {
  return values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
}

/** Limits that hang on the mechanism. A screw may turn at 80 % of its critical speed: common practice, no source. */
export function mechanismFindings({ mechanism }: Axis, shaft: Shaft): Finding[] {
  const screw = "check" in mechanism ? mechanism.check : undefined;
  if (screw === undefined) return [];
  const allowed = 0.8 * whirling(screw.diameter, screw.length, screw.ends);
  return [{ id: "axis.critical_speed", demand: largest(shaft.speed), allowed }];
}
