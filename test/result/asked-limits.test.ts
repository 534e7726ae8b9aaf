import { expect, test } from "vitest";
import { solveText } from "../../src/report/solve-text.ts";
import { PLAIN_STYLE } from "../../src/report/text-style.ts";
import { solvedWithTwins } from "./twin-catalogue.ts";

/** One machine of one axis. */
function problem(axis: object): unknown {
  return {
    title: "asks for more",
    catalogs: ["twinmaker"],
    site: { mains: "400 V", phases: 3 },
    machines: [{ id: "feeder", cycle: "2 s", axes: [axis] }],
    weights: { currency: "EUR" },
  };
}

/** A small slide on a screw, there and back in half a second each: 3000 turns a minute at most. */
function screw(mechanism: object, needs: object = {}): object {
  return {
    id: "slide",
    mechanism: { kind: "ball-screw", lead: "10 mm", ...mechanism },
    load: { mass: "2 kg" },
    motion: [{ move: "166.6666667 mm", time: "0.5 s" }, { dwell: "0.5 s" }, { move: "-166.6666667 mm", time: "0.5 s" }],
    needs: { inertia_ratio: null, ...needs },
  };
}

/** What is put beside the axes of a problem. */
function withStop(asked: unknown, time: string): unknown {
  const { machines, ...rest } = Object(asked);
  return { ...rest, machines: [{ ...Object(machines[0]), emergency_stop: { time } }] };
}

/** The supply without a resistor of its own, its capacitors as large as given [uF]. */
const capacitors = (size: number) => (sheet: string) =>
  sheet.startsWith("part,mains")
    ? `part,mains [V],phases,continuous_power [kW],peak_power [kW],capacitance [uF],chopper_voltage [V],feeds_back,width [mm],price [EUR]
C,400,3,3,6,${size},780,no,70,100
BACK,400,3,3,6,450,,yes,140,900
`
    : sheet;

test("an emergency stop that the capacitors do not hold takes a supply that feeds back, and each way is told", async () => {
  const slide = withStop(problem({ ...Object(screw({})), load: { mass: "300 kg" } }), "0.05 s");
  const held = (await solvedWithTwins(slide, capacitors(90_000))).machines[0];
  expect(held?.buses[0]).toMatchObject({ supply: "C" });
  const stop = held?.buses[0]?.limits.find(({ id }) => id === "resistor.stop_energy");
  expect(stop).toMatchObject({ demand: 0, allowed: 0, unit: "J", utilisation: 0 });
  // 0.5 m/s down to rest in 0.05 s.
  expect(held?.axes[0]?.stopping_distance).toEqual({ value: expect.closeTo(0.0125, 6), unit: "m" });
  const short = await solvedWithTwins(slide, capacitors(20), { explain: true });
  expect(short.machines[0]?.buses[0]).toMatchObject({ supply: "BACK" });
  const print = solveText(short, PLAIN_STYLE).replaceAll(/\s+/g, " ");
  expect(print).toContain("Moves on by up to 12.5 mm in an emergency stop.");
});

test("a bandwidth is held against the antiresonance of the mechanism, and its figures are told", async () => {
  // 20 N/um on 2 kg swing at √(20e6/2)/2π = 503.3 Hz: 250 Hz go, times the factor of 2, 260 Hz do not.
  const springy = { stiffness: "20 N/um" };
  const slow = await solvedWithTwins(problem(screw(springy, { bandwidth: "250 Hz" })));
  const found = slow.machines[0]?.axes[0]?.limits.find(({ id }) => id === "axis.resonance");
  expect(found).toMatchObject({ demand: 500, allowed: expect.closeTo(503.3, 1), unit: "Hz" });
  expect(found?.beside).toMatchObject({ name: "resonance", unit: "Hz" });
  expect(slow.defaults.map(({ at }) => at)).toContain("/machines/0/axes/0/needs/resonance_factor");
  const fast = await solvedWithTwins(problem(screw(springy, { bandwidth: "260 Hz" })));
  expect(fast.infeasible).toMatchObject([{ limits: ["axis.resonance"] }]);
  const print = solveText(fast, PLAIN_STYLE).replaceAll(/\s+/g, " ");
  expect(print).toContain("antiresonance of the load at 520 Hz");
});

test("a screw that turns too fast for its length fails every pick, and the report says that no pick helps", async () => {
  // 9.656·10⁷·12/600² = 3219 1/min may be used with supported ends of 600 mm, 2365 1/min of 700 mm.
  const short = { screw_diameter: "12 mm", length: "600 mm", ends: "supported-supported" };
  const [axis] = (await solvedWithTwins(problem(screw(short)))).machines.flatMap(({ axes }) => axes);
  const found = axis?.limits.find(({ id }) => id === "axis.critical_speed");
  expect(found).toMatchObject({ demand: expect.closeTo(3000, 2), allowed: expect.closeTo(3219, 0), unit: "rpm" });
  const long = await solvedWithTwins(problem(screw({ ...short, length: "700 mm" })));
  expect(long.infeasible).toMatchObject([{ axis: "slide", limits: ["axis.critical_speed"], not_checked: [] }]);
  const print = solveText(long, PLAIN_STYLE).replaceAll(/\s+/g, " ");
  expect(print).toContain("Least to relax: the critical speed of the screw at 3,000 rpm");
  expect(print).toContain("whatever is picked, the screw turns too fast for its diameter, length and ends");
  const lifted = screw({ ...short, length: "700 mm" }, { relax: { "axis.critical_speed": null } });
  expect(await solvedWithTwins(problem(lifted))).toMatchObject({ status: "optimal" });
});
