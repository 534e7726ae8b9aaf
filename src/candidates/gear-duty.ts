import type { Gearbox } from "../machine/catalogue.ts";
import { coarseHull, type Point } from "../maths/hull.ts";
import type { Duty } from "../physics/duty/duty.ts";
import { flowFactors } from "../physics/limits/pick-duty.ts";

/** Vertices are dropped that stand out by less than this share of the hull: what passes by less is judged exactly later. */
const HULL_SHARE = 3e-4;

/**
 * A duty seen through one gearbox: what is left to ask of a motor.
 *
 * τ_m = a·θ'' + y + f·z with y the input torque referred to the motor; ⟨τ_m²⟩ is a quadratic form in (a, 1, f),
 * its peak lies on a vertex of the hull of (θ'', y) for each z.
 */
export interface GearDuty {
  readonly ratio: number;
  /** ⟨θ''²⟩, ⟨θ''·y⟩, ⟨y²⟩, ⟨θ''·z⟩, ⟨y·z⟩, ⟨z²⟩ */
  readonly form: Float64Array;
  readonly hullX: Float64Array;
  readonly hullY: Float64Array;
  readonly hullZ: Float64Array;
  /** Largest of the three flow factors: how a change of input torque reaches the motor. */
  readonly reach: number;
}

/** Hull points of a duty by flow class and sense of turning, in (θ'', τ_in): built once per duty. */
export interface DutyHull {
  readonly sets: readonly { readonly flow: 0 | 1 | 2; readonly turning: number; readonly points: readonly Point[] }[];
  /** Vertices at the output of gearboxes, by their efficiencies: a ratio only scales them. Filled in as they are asked for. */
  readonly atOutput: Map<string, Vertices>;
}

/** Vertices (θ'', y, z), column by column. */
interface Vertices {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array;
}

const SAMPLES = 48;

/** Samples every piece densely, ends included, and keeps what stands out; where nothing changes the ends will do. */
export function dutyHull(duty: Duty): DutyHull {
  const sets = new Map<string, { flow: 0 | 1 | 2; turning: number; points: Point[] }>();
  for (const piece of duty.pieces) {
    const key = `${piece.flow} ${piece.turning}`;
    const set = sets.get(key) ?? { flow: piece.flow, turning: piece.turning, points: [] };
    sets.set(key, set);
    const samples = piece.isSteady ? 1 : SAMPLES;
    for (let k = 0; k <= samples; k++) {
      const t = piece.from + ((piece.to - piece.from) * k) / samples;
      set.points.push({ x: piece.acceleration(t), y: piece.torque(t) });
    }
  }
  return {
    sets: [...sets.values()].map((set) => ({ ...set, points: coarseHull(set.points, HULL_SHARE) })),
    atOutput: new Map(),
  };
}

/** The duty through a gearbox (or none). */
export function gearDuty(duty: Duty, hull: DutyHull, gearbox: Gearbox | undefined): GearDuty {
  const flow = flowFactors(gearbox);
  const ratio = gearbox?.ratio ?? 1;
  const { x, y, z } = verticesAtOutput(hull, gearbox);
  return {
    ratio,
    form: formOf(duty.gram, flow),
    hullX: x,
    hullY: y.map((torque) => torque / ratio),
    hullZ: z,
    reach: Math.max(...flow.map(Math.abs)),
  };
}

/** Vertices as the output shaft of a gearbox has them, its losses included. */
function verticesAtOutput(hull: DutyHull, gearbox: Gearbox | undefined): Vertices {
  const key = gearbox === undefined ? "" : `${gearbox.efficiency} ${gearbox.backEfficiency}`;
  const known = hull.atOutput.get(key) ?? verticesOf(hull, flowFactors(gearbox && { ...gearbox, ratio: 1 }));
  hull.atOutput.set(key, known);
  return known;
}

function verticesOf({ sets }: DutyHull, flow: readonly [number, number, number]): Vertices {
  const byTurning = new Map<number, Point[]>();
  for (const set of sets) {
    const seen = set.points.map(({ x, y }) => ({ x, y: y * flow[set.flow] }));
    byTurning.set(set.turning, [...(byTurning.get(set.turning) ?? []), ...seen]);
  }
  const vertices = [...byTurning].flatMap(([z, points]) => coarseHull(points, 0).map((p) => ({ ...p, z })));
  return {
    x: Float64Array.from(vertices, ({ x }) => x),
    y: Float64Array.from(vertices, ({ y }) => y),
    z: Float64Array.from(vertices, ({ z }) => z),
  };
}

function formOf(gram: Float64Array, flow: readonly [number, number, number]): Float64Array {
  let [xy, yy, yz] = [0, 0, 0];
  for (let k = 1; k <= 3; k++) {
    const through = flow[k - 1]!;
    xy += gram[k]! * through;
    yy += gram[6 * k]! * through * through;
    yz += gram[5 * k + 4]! * through;
  }
  return Float64Array.of(gram[0]!, xy, yy, gram[4]!, yz, gram[24]!);
}

/** ⟨τ_m²⟩ for rotor inertia at the input shaft a and drag f. Hot. */
export function meanSquare({ form }: GearDuty, a: number, f: number): number {
  const square = a * a * form[0]! + 2 * a * form[1]! + form[2]!;
  return Math.max(0, square + f * (2 * a * form[3]! + 2 * form[4]! + f * form[5]!));
}

/** Largest |τ_m| on the hull's vertices: never more than the exact peak. Hot. */
export function hullPeak({ hullX, hullY, hullZ }: GearDuty, a: number, f: number): number {
  let most = 0;
  for (let k = 0; k < hullX.length; k++) {
    const torque = Math.abs(a * hullX[k]! + hullY[k]! + f * hullZ[k]!);
    if (torque > most) most = torque;
  }
  return most;
}
