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
