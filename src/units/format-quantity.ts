interface Scale {
  readonly unit: string;
  /** One of this unit in the unit the number is kept in. */
  readonly factor: number;
}

/** Units a number is shown in, coarsest first. A unit that is not listed is shown as it is kept. */
const SHOWN_IN: Readonly<Record<string, readonly Scale[]>> = {
  m: [scale("m", 1), scale("mm", 1e-3), scale("um", 1e-6)],
  s: [scale("s", 1), scale("ms", 1e-3)],
  kg: [scale("kg", 1), scale("g", 1e-3)],
  "kg*m^2": [scale("kg*m^2", 1), scale("kg*cm^2", 1e-4)],
  "N*m": [scale("N*m", 1), scale("mN*m", 1e-3)],
  rad: [scale("deg", Math.PI / 180), scale("arcmin", Math.PI / 10_800)],
  "rad/s": [scale("rpm", Math.PI / 30)],
  A: [scale("A", 1), scale("mA", 1e-3)],
  H: [scale("H", 1), scale("mH", 1e-3), scale("uH", 1e-6)],
  F: [scale("F", 1), scale("mF", 1e-3), scale("uF", 1e-6)],
  Hz: [scale("kHz", 1e3), scale("Hz", 1)],
  W: [scale("kW", 1e3), scale("W", 1)],
  J: [scale("kJ", 1e3), scale("J", 1)],
  "%": [scale("%", 0.01)],
};

function scale(unit: string, factor: number): Scale {
  return { unit, factor };
}

/**
 * A number as short text with a unit people read: formatQuantity(0.0123, "m") is "12.3 mm".
 *
 * @param value - in `unit`
 * @param unit - SI unit, "degC", "day", "1" for a plain number, "%" for a share shown in per cent
 * @param digits - significant digits
 */
export function formatQuantity(value: number, unit: string, digits = 4): string {
  if (unit === "1") return shortNumber(value, digits);
  const shown = scaleFor(value, unit);
  return `${shortNumber(value / shown.factor, digits)} ${shown.unit}`;
}

function scaleFor(value: number, unit: string): Scale {
  const scales = SHOWN_IN[unit] ?? [scale(unit, 1)];
  const fits = ({ factor }: Scale): boolean => Math.abs(value) / factor >= 1 - 1e-9;
  const smallest = value === 0 ? scales[0] : scales.at(-1);
  return scales.find(fits) ?? smallest ?? scale(unit, 1);
}

function shortNumber(value: number, digits: number): string {
  return String(Number(value.toPrecision(digits)));
}
