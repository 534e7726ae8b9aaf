import * as fc from "fast-check";
import type { Crank, Winder } from "../../src/machine/mechanism.ts";
import { dwell, move, type Sample } from "./sample-axis.ts";

const between = (min: number, max: number): fc.Arbitrary<number> =>
  fc.integer({ min: 0, max: 1000 }).map((step) => min + ((max - min) * step) / 1000);

/** A crank or winder under any load, moved there and back by a law. */
export function anyLinked(): fc.Arbitrary<Required<Pick<Sample, "mechanism" | "load" | "motion" | "cycle" | "start">>> {
  const losses = fc.record({
    efficiency: between(0.3, 1),
    backEfficiency: between(-0.3, 0.9),
    dragTorque: between(0, 0.2),
    inertia: between(0, 1e-2),
    couplingInertia: between(0, 1e-4),
  });
  const crank = fc
    .record({ radius: between(0.02, 0.1), longer: between(1.3, 4), aside: between(-0.2, 0.2), losses })
    .map(({ radius, longer, aside, losses: lost }): Crank => {
      return { kind: "crank", radius, rod: radius * longer, offset: aside * radius, startAngle: 3 * aside, ...lost };
    });
  const winder = fc
    .record({
      core: between(0.05, 0.1),
      start: between(1, 3),
      thick: between(1e-5, 2e-3),
      tension: between(0, 200),
      losses,
    })
    .map(({ core, start, thick, tension, losses: lost }): Winder => {
      const roll = { coreDiameter: core, startDiameter: core * start, webThickness: thick, tension };
      return { kind: "winder", ...roll, webWidth: 0.4, webDensity: 800, ...lost };
    });
  const load = fc.record({
    mass: between(0, 10),
    incline: between(-1.5, 1.5),
    frictionForce: between(0, 30),
    frictionCoefficient: between(0, 0.2),
    viscous: between(0, 20),
    force: between(-40, 40),
    counterbalance: between(-40, 40),
  });
  const law = fc.constantFrom(
    "trapezoid" as const,
    "polynomial-5" as const,
    "modified-sine" as const,
    "s-curve" as const,
  );
  return fc
    .tuple(fc.oneof(crank, winder), load, law, between(0.5, 12), between(0.2, 2), between(0, 20))
    .map(([mechanism, given, name, way, time, payload]) => ({
      mechanism,
      load: mechanism.kind === "winder" ? { ...given, incline: 0, counterbalance: 0 } : given,
      motion: [
        move(way, { law: name, time }),
        dwell(0.2),
        move(-way, { law: name, time: 1.3 * time, payload, force: 5 }),
      ],
      cycle: 2.3 * time * (1 + 1e-12) + 0.5,
      start: time,
    }));
}
