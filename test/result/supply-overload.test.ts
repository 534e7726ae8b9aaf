import { expect, test } from "vitest";
import type { ResultDocument } from "../../src/machine/result.ts";
import { solveText } from "../../src/report/solve-text.ts";
import { PLAIN_STYLE } from "../../src/report/text-style.ts";
import { quarterTurns, solvedWithTwins } from "./twin-catalogue.ts";

/** A small supply and a large one that bear the same peak; all figures invented. */
function supplies(peakTime: string): string {
  return `part,mains [V],phases,continuous_power [W],peak_power [W],peak_time [s],capacitance [uF],chopper_voltage [V],feeds_back,width [mm],price [EUR]
SMALL,400,3,150,300,${peakTime},4500,790,no,70,100
LARGE,400,3,260,300,${peakTime},4500,790,no,70,300
`;
}

function solved(peakTime: string): Promise<ResultDocument> {
  const problem = {
    title: "short of breath",
    catalogs: ["twinmaker"],
    site: { mains: "400 V", phases: 3 },
    machines: [
      {
        id: "feeder",
        cycle: "2 s",
        axes: [quarterTurns("one", "0.15 kg*m^2"), { ...Object(quarterTurns("two", "0.15 kg*m^2")), start: "0.02 s" }],
      },
    ],
    weights: { currency: "EUR" },
  };
  const change = (sheet: string): string => (sheet.startsWith("part,mains") ? supplies(peakTime) : sheet);
  return solvedWithTwins(problem, change, { explain: true });
}

test("a supply that would be overloaded is passed over, and the reason is told", async () => {
  const strong = (await solved("60")).machines[0]?.buses[0];
  expect(strong).toMatchObject({ supply: "SMALL" });
  const share = strong?.limits.find(({ id }) => id === "supply.overload");
  expect(share).toMatchObject({ allowed: 1, unit: "1" });
  expect(share?.utilisation).toBeLessThan(1);
  const weak = await solved("0.05");
  expect(weak).toMatchObject({ status: "optimal" });
  const bus = weak.machines[0]?.buses[0];
  expect(bus).toMatchObject({ supply: "LARGE", binding: { limits: ["supply.overload"], price: 200 } });
  expect(solveText(weak, PLAIN_STYLE).replaceAll(/\s+/g, " ")).toContain("Held here by the supply overload");
});

test("without its peak time the overload of a supply is listed as not checked", async () => {
  const silent = await solved("");
  const bus = silent.machines[0]?.buses[0];
  expect(bus).toMatchObject({ supply: "SMALL" });
  expect(bus?.not_checked).toContainEqual({ id: "supply.overload", missing: "peak_time" });
});
