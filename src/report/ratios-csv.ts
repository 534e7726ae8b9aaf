import { writeToString } from "fast-csv";
import type { MotorRatios, RatiosDocument } from "../machine/ratios.ts";
import { guarded } from "./guarded.ts";

const OPTIONS = { alwaysWriteHeaders: true, includeEndRowDelimiter: true } as const;

/** Every real gearbox of every motor looked at, a row each. */
export async function ratioPicksCsv(doc: RatiosDocument): Promise<string> {
  const { currency } = doc;
  const headers = [
    "motor",
    "motor maker",
    "gearbox",
    "gearbox maker",
    "ratio",
    "drive",
    "drive maker",
    "inductor",
    "passes",
    "failed",
    "nearest limit",
    "utilisation",
    guarded(`price [${currency}]`),
    "energy [kWh/year]",
    guarded(`energy cost [${currency}]`),
  ];
  const rows = doc.motors.flatMap((motor) => motor.gearboxes.map((pick) => pickRow(motor, pick)));
  return writeToString(rows, { ...OPTIONS, headers });
}

function pickRow(motor: MotorRatios, pick: MotorRatios["gearboxes"][number]): string[] {
  const [worst] = pick.limits;
  return [
    guarded(motor.motor),
    guarded(motor.maker),
    guarded(pick.gearbox ?? ""),
    guarded(pick.gearbox_maker ?? ""),
    numberText(pick.ratio),
    guarded(pick.drive),
    guarded(pick.drive_maker),
    guarded(pick.inductor ?? ""),
    pick.passes ? "yes" : "no",
    pick.failed.join(";"),
    worst?.id ?? "",
    numberText(worst?.utilisation ?? null),
    pick.price.toFixed(2),
    numberText(pick.energy),
    pick.energy_cost.toFixed(2),
  ];
}

/** The curves of one motor: a column of ratios, one of utilisation for each limit; where nothing is allowed the cell is empty. */
export async function ratioCurveCsv({ curve }: MotorRatios): Promise<string> {
  const headers = ["ratio", ...curve.limits.map(({ id }) => id)];
  const rows = curve.ratio.map((ratio, k) => [
    numberText(ratio),
    ...curve.limits.map(({ utilisation }) => numberText(utilisation[k] ?? null)),
  ]);
  return writeToString(rows, { ...OPTIONS, headers });
}

function numberText(value: number | null): string {
  return value === null ? "" : String(Number(value.toPrecision(10)) + 0);
}
