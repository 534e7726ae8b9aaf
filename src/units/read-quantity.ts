import type { Fault, Place, Result } from "../faults/fault.ts";
import { moneyExpected, noSuchUnit, quantityExpected, wrongDimension } from "../faults/wordings.ts";
import type { ParsedUnit, UnitReader } from "./load-units.ts";
import { describeQuantity, QUANTITIES, type Quantity } from "./quantity.ts";

const NUMBER_THEN_UNIT = /^\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(\S.*?)?\s*$/;

/** A text such as "12.5 kg" as its number and its unit, whatever the unit is; undefined when it is no such text. */
export function splitQuantity(text: string): { readonly number: number; readonly unit: string } | undefined {
  const [, number, unit] = NUMBER_THEN_UNIT.exec(text) ?? [];
  return number === undefined || unit === undefined ? undefined : { number: Number(number), unit };
}

/** A conversion to the unit a quantity is kept in: value · factor + offset. */
export interface Conversion {
  readonly factor: number;
  readonly offset: number;
}

/** Temperatures are absolute: the only units with an offset. Source: NIST SP 811 (2008), appendix B.8. */
const TEMPERATURES: Readonly<Record<string, Conversion>> = {
  degC: { factor: 1, offset: 0 },
  K: { factor: 1, offset: -273.15 },
  degF: { factor: 1 / 1.8, offset: -32 / 1.8 },
};

/**
 * How to turn numbers in a unit into the unit a quantity is kept in.
 *
 * @param unitText - such as "mm" or "ozf*in"
 */
export function conversionTo(
  units: UnitReader,
  unitText: string,
  wanted: { readonly quantity: Quantity; readonly place: Place; readonly found: string },
): Result<Conversion> {
  const { quantity, place, found } = wanted;
  const expected = describeQuantity(quantity);
  if (quantity === "temperature" && Object.hasOwn(TEMPERATURES, unitText)) {
    const conversion = TEMPERATURES[unitText];
    if (conversion !== undefined) return { ok: true, value: conversion };
  }
  const given = units.unit(unitText);
  if (given === undefined) return failed(noSuchUnit(place, { found, unit: unitText, expected }));
  const kept = quantity === "temperature" ? undefined : units.unit(QUANTITIES[quantity].unit);
  if (given.dimension !== kept?.dimension) return failed(wrongDimension(place, found, expected));
  return { ok: true, value: { factor: given.factor / kept.factor, offset: 0 } };
}

/** Reads text such as "12.5 kg" into the unit its quantity is kept in. A bare number or another dimension is a fault. */
export function readQuantity(units: UnitReader, text: string, quantity: Quantity, place: Place): Result<number> {
  const found = JSON.stringify(text);
  const [, number, unitText] = NUMBER_THEN_UNIT.exec(text) ?? [];
  if (number === undefined || unitText === undefined) {
    return failed(quantityExpected(place, found, describeQuantity(quantity)));
  }
  const conversion = conversionTo(units, unitText, { quantity, place, found });
  if (!conversion.ok) return conversion;
  return finite(Number(number) * conversion.value.factor + conversion.value.offset, place, {
    found,
    expected: describeQuantity(quantity),
  });
}

/** A share as a number, or as text with a per cent sign: 0.15 or "15 %". */
export function readShare(value: unknown): number | undefined {
  if (typeof value === "number") return value;
  if (typeof value !== "string") return undefined;
  const [, number, unit] = NUMBER_THEN_UNIT.exec(value) ?? [];
  return number !== undefined && unit === "%" ? Number(number) / 100 : undefined;
}

/** What a sum of money is given per, such as energy in "0.21 EUR/kWh"; absent: a plain sum. */
export type MoneyPer = Quantity | undefined;

/**
 * Reads text such as "0.21 EUR/kWh" into cents per unit of the quantity (joule, kg, metre, day).
 *
 * @param wanted - the currency of the problem, and what the sum is per
 */
export function readMoney(
  units: UnitReader,
  text: string,
  wanted: { readonly currency: string; readonly per: MoneyPer; readonly example: string; readonly place: Place },
): Result<number> {
  const { currency, per, example, place } = wanted;
  const found = JSON.stringify(text);
  const fault = moneyExpected(place, found, example);
  const [, number, unitText] = NUMBER_THEN_UNIT.exec(text) ?? [];
  if (number === undefined || unitText === undefined) return failed(fault);
  const [name, ...rest] = unitText.split("/");
  if (name !== currency || rest.length > 0 !== (per !== undefined)) return failed(fault);
  const cents = Number(number) * 100;
  if (per === undefined) return finite(cents, place, { found, expected: fault.expected });
  const given: ParsedUnit | undefined = units.unit(rest.join("/"));
  const kept = units.unit(QUANTITIES[per].unit);
  if (given === undefined || given.dimension !== kept?.dimension) return failed(fault);
  return finite(cents / (given.factor / kept.factor), place, { found, expected: fault.expected });
}

function finite(
  value: number,
  place: Place,
  says: { readonly found: string; readonly expected: string },
): Result<number> {
  if (Number.isFinite(value)) return { ok: true, value };
  return failed(quantityExpected(place, says.found, says.expected));
}

function failed(fault: Fault): { readonly ok: false; readonly faults: readonly Fault[] } {
  return { ok: false, faults: [fault] };
}
