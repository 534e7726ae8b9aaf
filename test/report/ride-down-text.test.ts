import { expect, test } from "vitest";
import type { RideDownResult } from "../../src/machine/result.ts";
import { TIE } from "../../src/report/layout.ts";
import { rideDownWords } from "../../src/report/ride-down-text.ts";
import { RIDE_DOWN } from "./sample-documents.ts";

const ASSUMED = { ramp: { value: 0.3, assumed: true } } as const;
const LIFT = { axes: [{ id: "lift", brake: true }] } as const;
const EMPTIED = { brakes_grip: null, lowest_voltage: null, lowest_after: null } as const;

test.each<[string, Partial<RideDownResult>, string]>([
  [
    "carries",
    {},
    "Mains off, emergency stop: the bus keeps 431 V until the brakes of lift and press grip (325 ms); its drives need 280 V.",
  ],
  [
    "carries, without an emergency stop given",
    { ...ASSUMED, ...LIFT },
    "Mains off, each axis stopping as hard as in its work: the bus keeps 431 V until the brake of lift grips (325 ms); its drives need 280 V.",
  ],
  [
    "does not carry",
    { lowest_voltage: 120, lost_after: 0.1239, carries: false },
    "Mains off, emergency stop: the bus can be below 280 V after 123 ms, before the brakes of lift and press grip (325 ms).",
  ],
  [
    "has drives whose least voltage nobody gives",
    { bus_min: null, unknown: [{ part: "D10", missing: "bus_min" }], carries: null },
    "Mains off, emergency stop: the bus keeps 431 V until the brakes of lift and press grip (325 ms); not known: bus_min of D10.",
  ],
  [
    "has a brake whose time nobody gives",
    { ...EMPTIED, ...LIFT, lost_after: 0.9, unknown: [{ part: "M8", missing: "brake_close_time" }], carries: null },
    "Mains off, emergency stop: the bus can be below 280 V after 900 ms, and when the brake of lift grips is not known; not known: brake_close_time of M8.",
  ],
  [
    "has an axis without a brake",
    { ...EMPTIED, axes: [{ id: "drum", brake: false }], lost_after: 9.4535, carries: false, bus_min: null },
    "Mains off, emergency stop: the bus can be empty after 9.45 s, and drum has no brake.",
  ],
  ["is never emptied", { ...EMPTIED, ...LIFT }, "Mains off, emergency stop: nothing empties the bus."],
])("a bus that %s", (_name, changes, words) => {
  expect(rideDownWords({ ...RIDE_DOWN, ...changes }).replaceAll(TIE, " ")).toBe(words);
});
