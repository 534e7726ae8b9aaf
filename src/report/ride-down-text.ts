import type { RideDownResult } from "../machine/result.ts";
import { amountText, figureDown, figureUp } from "./figures.ts";
import { printable } from "./layout.ts";

/** What becomes of a bus whose mains fail, in one sentence. */
export function rideDownWords(down: RideDownResult): string {
  const { ramp, lowest_voltage: lowest, lost_after: lost, bus_min: least, unknown } = down;
  const when = ramp.assumed ? "Mains off, each axis stopping as hard as in its work" : "Mains off, emergency stop";
  const gaps = unknown.map(({ part, missing }) => `${missing} of ${printable(part)}`).join(", ");
  const silence = gaps === "" ? "" : `; not known: ${gaps}`;
  const limit = least === null ? "empty" : `below ${volts(least, figureUp)}`;
  if (lost !== null) return `${when}: the bus can be ${limit} after ${soon(lost)}, ${beforeWhat(down)}${silence}.`;
  if (lowest === null) return `${when}: nothing empties the bus${silence}.`;
  const enough = least === null ? "" : `; its drives need ${volts(least, figureUp)}`;
  return `${when}: the bus keeps ${volts(lowest, figureDown)} until ${gripWords(down)}${enough}${silence}.`;
}

/** What the loss of control comes before; an axis without a brake has nothing to wait for. */
function beforeWhat(down: RideDownResult): string {
  const bare = down.axes.filter(({ brake }) => !brake).map(({ id }) => printable(id));
  if (bare.length > 0) return `and ${listed(bare)} ${bare.length === 1 ? "has" : "have"} no brake`;
  if (down.carries === null) return `and when ${brakesOf(down)} is not known`;
  return `before ${gripWords(down)}`;
}

function gripWords(down: RideDownResult): string {
  const { brakes_grip: grip } = down;
  return grip === null ? brakesOf(down) : `${brakesOf(down)} (${late(grip)})`;
}

function brakesOf({ axes }: RideDownResult): string {
  const braked = axes.filter(({ brake }) => brake).map(({ id }) => printable(id));
  return `${braked.length === 1 ? "the brake of" : "the brakes of"} ${listed(braked)} ${braked.length === 1 ? "grips" : "grip"}`;
}

function listed(names: readonly string[]): string {
  const last = names.at(-1) ?? "";
  return names.length < 2 ? last : `${names.slice(0, -1).join(", ")} and ${last}`;
}

function volts(value: number, write: (value: number) => string): string {
  return amountText({ value, unit: "V" }, write);
}

function soon(seconds: number): string {
  return duration(seconds, figureDown);
}

function late(seconds: number): string {
  return duration(seconds, figureUp);
}

function duration(seconds: number, write: (value: number) => string): string {
  return amountText(seconds < 1 ? { value: 1000 * seconds, unit: "ms" } : { value: seconds, unit: "s" }, write);
}
