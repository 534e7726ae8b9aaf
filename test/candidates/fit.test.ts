import { expect, test } from "vitest";
import { fitParts, frameFits, type UnfitReason } from "../../src/candidates/fit.ts";
import type { Catalogue, Inductor } from "../../src/machine/catalogue.ts";
import type { Allow, Needs, Problem } from "../../src/machine/problem.ts";
import { axisOf, MILD_SITE, run } from "../physics/sample-axis.ts";
import { driveWith, gearboxWith, motorWith } from "../physics/sample-parts.ts";

const INDUCTOR: Inductor = {
  kind: "inductor",
  maker: "other",
  part: "L",
  prices: [],
  texts: {},
  inductance: 1e-3,
  continuousCurrent: 5,
};
const CATALOGUE: Catalogue = {
  motors: [
    motorWith({ part: "A", texts: { ip: "IP65" }, ip: "IP65" }),
    motorWith({ part: "B", maker: "other", construction: "slotless", feedback: "resolver", length: 0.3 }),
  ],
  gearboxes: [gearboxWith({ part: "G3", ratio: 3 }), gearboxWith({ part: "G10", ratio: 10, style: "right-angle" })],
  drives: [
    driveWith({ part: "D", busMax: 800, busMin: 400 }),
    driveWith({ part: "E", busMax: 450, texts: { fieldbus: "x" } }),
  ],
  supplies: [],
  resistors: [],
  inductors: [INDUCTOR],
};

interface Asked {
  readonly needs?: Partial<Needs>;
  readonly allow?: Partial<Allow>;
  readonly forbid?: Partial<Problem["forbid"]>;
  readonly bus?: { readonly low: number; readonly high: number };
}

function fit({ needs, allow, forbid, bus = { low: 420, high: 440 } }: Asked): ReturnType<typeof fitParts> {
  const axis = { ...axisOf({ motion: [run(1, 1)], needs: needs ?? {} }), allow: { gearless: true, ...allow } };
  const variety = { motor: 0, frame: 0, gearbox: 0, drive: 0, maker: 0, supply: 0, resistor: 0, inductor: 0 };
  const problem: Problem = {
    title: "",
    site: MILD_SITE,
    machines: [],
    weights: {
      currency: "EUR",
      purchase: 1,
      variety,
      energy: { price: 0, duration: 0, hoursPerYear: 0, years: 0 },
      mass: 0,
      cabinetWidth: 0,
      leadTime: 0,
    },
    caps: {},
    forbid: { parts: [], makers: [], ...forbid },
    dualSource: [],
  };
  return fitParts(problem, axis, { catalogue: CATALOGUE, bus });
}

test("where nothing is asked, everything fits; −1 stands for no gearbox", () => {
  const all = fit({});
  expect(all).toMatchObject({ motors: [0, 1], gearboxes: [-1, 0, 1], drives: [0, 1], inductors: [0] });
  expect([all.unfit.motors.size, all.unfit.gearboxes.size, all.unfit.drives.size]).toEqual([0, 0, 0]);
});

type Kind = "motors" | "gearboxes" | "drives";
const CASES: readonly (Asked & {
  readonly kind: Kind;
  readonly left: readonly number[];
  readonly reason: UnfitReason;
})[] = [
  { kind: "motors", left: [0], reason: "forbidden", forbid: { parts: ["B"] } },
  { kind: "motors", left: [0], reason: "forbidden", forbid: { makers: ["other"] } },
  { kind: "motors", left: [1], reason: "not allowed", allow: { motors: ["B"] } },
  { kind: "motors", left: [1], reason: "maker", allow: { makers: ["other"] } },
  { kind: "motors", left: [1], reason: "construction", allow: { constructions: ["slotless"] } },
  { kind: "motors", left: [1], reason: "feedback", needs: { feedback: ["resolver"] } },
  { kind: "motors", left: [0], reason: "match", needs: { match: { "motor.ip": ["IP65", "IP67"] } } },
  { kind: "motors", left: [0], reason: "size", needs: { maxLength: 0.2 } },
  { kind: "motors", left: [], reason: "size", needs: { maxWidth: 0.05 } },
  { kind: "motors", left: [0], reason: "protection", needs: { ip: ["IP65"] } },
  { kind: "gearboxes", left: [-1, 0], reason: "not allowed", allow: { gearboxes: ["G3"] } },
  { kind: "gearboxes", left: [-1, 1], reason: "ratio", allow: { ratios: [4, 10] } },
  { kind: "gearboxes", left: [-1, 0], reason: "gearbox kind", allow: { gearboxKinds: ["inline"] } },
  { kind: "gearboxes", left: [0, 1], reason: "gearless", allow: { gearless: false } },
  { kind: "drives", left: [0], reason: "not allowed", allow: { drives: ["D"] } },
  { kind: "drives", left: [1], reason: "match", needs: { match: { "drive.fieldbus": ["x"] } } },
  { kind: "drives", left: [0], reason: "bus voltage", bus: { low: 420, high: 451 } },
  { kind: "drives", left: [1], reason: "bus voltage", bus: { low: 399, high: 440 } },
];

test.each(CASES)("$kind left out for: $reason", ({ kind, left, reason, ...asked }) => {
  const found = fit(asked);
  expect(found[kind]).toEqual(left);
  expect([...found.unfit[kind].keys()]).toEqual([reason]);
});

test("a gearbox carries the frames it lists; no gearbox carries any", () => {
  const gearbox = gearboxWith({ motorFrames: ["60", "80"] });
  expect(frameFits(motorWith({ frame: "80" }), gearbox)).toBe(true);
  expect(frameFits(motorWith({ frame: "90" }), gearbox)).toBe(false);
  expect(frameFits(motorWith({ frame: "90" }), undefined)).toBe(true);
});
