import { LIMIT_IDS, type Limit, type LimitId, type LimitUnit } from "../machine/limit.ts";
import type { LimitResult } from "../machine/result.ts";

/** Unit a figure is shown in, and its size in SI units. */
interface TableUnit {
  readonly text: string;
  readonly size: number;
}

const RPM: TableUnit = { text: "rpm", size: (2 * Math.PI) / 60 };

/** How SI figures stand in the result document; money in the problem's currency. */
const TABLE_UNITS: Readonly<Record<LimitUnit, TableUnit>> = {
  "N*m": { text: "N*m", size: 1 },
  N: { text: "N", size: 1 },
  "rad/s": RPM,
  V: { text: "V", size: 1 },
  "1": { text: "1", size: 1 },
  m: { text: "m", size: 1 },
  rad: { text: "rad", size: 1 },
  A: { text: "A", size: 1 },
  Hz: { text: "Hz", size: 1 },
  s: { text: "s", size: 1 },
  degC: { text: "degC", size: 1 },
  W: { text: "W", size: 1 },
  J: { text: "J", size: 1 },
  F: { text: "uF", size: 1e-6 },
  kg: { text: "kg", size: 1 },
  cent: { text: "", size: 100 },
  day: { text: "day", size: 1 },
  count: { text: "count", size: 1 },
};

/** Turns SI figures of one currency into the document's. */
export interface TableWriter {
  readonly limit: (limit: Limit) => LimitResult;
  readonly figure: (value: number, unit: LimitUnit) => number;
  readonly unit: (unit: LimitUnit) => string;
}

export function tableWriter(currency: string): TableWriter {
  const unit = (of: LimitUnit): string => (of === "cent" ? currency : TABLE_UNITS[of].text);
  const limit = ({ id, demand, allowed, unit: of, utilisation, time, mode, beside }: Limit): LimitResult => ({
    id,
    demand: figure(demand, of),
    allowed: figure(allowed, of),
    unit: unit(of),
    utilisation,
    ...(time === undefined ? {} : { time }),
    ...(mode === undefined ? {} : { mode }),
    ...(beside === undefined
      ? {}
      : { beside: { name: beside.name, value: figure(beside.value, beside.unit), unit: unit(beside.unit) } }),
  });
  return { limit, figure, unit };
}

function figure(value: number, of: LimitUnit): number {
  return value / TABLE_UNITS[of].size;
}

/** Highest utilisation first, then the documentation's order. */
export function byUtilisation(one: LimitResult, other: LimitResult): number {
  const [a, b] = [one.utilisation ?? Number.MAX_VALUE, other.utilisation ?? Number.MAX_VALUE];
  return b - a || orderOf(one.id) - orderOf(other.id);
}

function orderOf(id: LimitId): number {
  return LIMIT_IDS.indexOf(id);
}

/** Unit of each limit in SI; limits of detent, resolution and backlash depend on the axis. */
export function unitOfLimit(id: LimitId, isRotary: boolean): LimitUnit {
  const length = isRotary ? "rad" : "m";
  const units: Partial<Record<LimitId, LimitUnit>> = {
    "motor.speed": "rad/s",
    "motor.voltage": "V",
    "motor.winding_temperature": "degC",
    "motor.inertia_ratio": "1",
    "motor.detent": isRotary ? "N*m" : "N",
    "motor.speed_ripple": "1",
    "motor.resolution": length,
    "gearbox.max_speed": "rad/s",
    "gearbox.mean_speed": "rad/s",
    "gearbox.backlash": length,
    "drive.continuous_current": "A",
    "drive.peak_current": "A",
    "drive.overload": "1",
    "supply.overload": "1",
    "drive.ripple_current": "A",
    "drive.frequency": "Hz",
    "drive.bus_voltage": "V",
    "motor.shaft_load": "N",
    "gearbox.shaft_load": "N",
    "inductor.continuous_current": "A",
    "axis.resonance": "Hz",
    "axis.critical_speed": "rad/s",
    "axis.torque_ripple": "1",
    "supply.peak_power": "W",
    "supply.continuous_power": "W",
    "supply.capacitance": "F",
    "supply.regeneration": "J",
    "resistor.peak_power": "W",
    "resistor.continuous_power": "W",
    "resistor.stop_energy": "J",
    "machine.cabinet_width": "m",
    "machine.mass": "kg",
    "machine.price": "cent",
    "machine.lead_time": "day",
  };
  return units[id] ?? (id.startsWith("caps.") || id.startsWith("order.") ? "count" : "N*m");
}
