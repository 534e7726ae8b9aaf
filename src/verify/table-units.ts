import type { LimitId } from "../machine/limit.ts";

/** SI size of the units a result may use; money is in cents here. */
const SIZES: Readonly<Record<string, number>> = {
  rpm: (2 * Math.PI) / 60,
  uF: 1e-6,
  ...Object.fromEntries(
    ["N*m", "N", "V", "1", "m", "rad", "A", "Hz", "s", "degC", "W", "J", "kg", "day", "count"].map((unit) => [unit, 1]),
  ),
};

/** Units of limits by what stands behind the dot; the first part tells apart what is called alike. */
const UNITS: readonly (readonly [RegExp, readonly string[]])[] = [
  [
    /^(motor|gearbox)\.(continuous_torque|peak_torque|standstill_torque|torque_at_speed|brake|mean_torque|emergency_torque)$/,
    ["N*m"],
  ],
  [/^(motor|gearbox)\.(speed|max_speed|mean_speed)$|^axis\.critical_speed$/, ["rpm"]],
  [/voltage$/, ["V"]],
  [/temperature$/, ["degC"]],
  [/^motor\.(inertia_ratio|speed_ripple)$|^axis\.torque_ripple$|overload$/, ["1"]],
  [/^motor\.detent$/, ["N", "N*m"]],
  [/resolution$|backlash$/, ["m", "rad"]],
  [/current$/, ["A"]],
  [/frequency$|^axis\.resonance$/, ["Hz"]],
  [/shaft_load$/, ["N"]],
  [/_power$/, ["W"]],
  [/^supply\.capacitance$/, ["uF"]],
  [/regeneration$|energy$/, ["J"]],
  [/^(caps|order)\./, ["count"]],
  [/^machine\.cabinet_width$/, ["m"]],
  [/^machine\.mass$/, ["kg"]],
  [/^machine\.lead_time$/, ["day"]],
];

/** SI size of the unit a limit stands in; NaN: no unit at all, or not one of this limit. */
export function sizeOf(id: LimitId, unit: string, currency: string): number {
  if (id === "machine.price") return unit === currency ? 100 : Number.NaN;
  const fitting = UNITS.find(([pattern]) => pattern.test(id))?.[1];
  if (fitting !== undefined && !fitting.includes(unit)) return Number.NaN;
  return SIZES[unit] ?? Number.NaN;
}
