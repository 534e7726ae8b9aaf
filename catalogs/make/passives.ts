import { leadTime, priceCells, withGaps } from "./cells.ts";
import { seeded, spread } from "./seeded.ts";
import { type Row, rounded } from "./sheet.ts";

/** Brake resistors: [ohm, continuous W, chopper voltage they are made for]. */
export type ResistorSpec = readonly [number, number, number];

function resistorRow(prefix: string, [resistance, power, chopper]: ResistorSpec): Row {
  const part = `${prefix}${resistance}-${power}`;
  const random = seeded(part);
  const peak = (1.05 * chopper ** 2) / resistance;
  const row: Row = {
    part,
    resistance,
    continuous_power: power,
    peak_power: rounded(peak, 3),
    pulse_energy: rounded(28 * power * spread(random, 0.1), 2),
    ...priceCells(random, 22 + 0.9 * power ** 0.78),
    lead_time: leadTime(random, 5, 21),
  };
  return withGaps(row, ["pulse_energy", "lead_time"], random);
}

/** Brake resistors of a maker. */
export function resistorRows(prefix: string, specs: readonly ResistorSpec[]): Row[] {
  return specs.map((spec) => resistorRow(prefix, spec));
}

/** Series inductors, three phases in one part: [mH per phase, A rms]. */
export type InductorSpec = readonly [number, number];

function inductorRow(prefix: string, [inductance, current]: InductorSpec): Row {
  const part = `${prefix}${inductance}-${current}`;
  const random = seeded(part);
  const stored = inductance * current ** 2;
  return {
    part,
    inductance,
    continuous_current: current,
    ...priceCells(random, 26 + 3.1 * stored ** 0.62),
    lead_time: leadTime(random, 5, 25),
  };
}

/** Series inductors of a maker. */
export function inductorRows(prefix: string, specs: readonly InductorSpec[]): Row[] {
  return specs.map((spec) => inductorRow(prefix, spec));
}
