import { readFileSync } from "node:fs";
import type { Quantity } from "../../src/units/quantity.ts";

/** How each published conversion is written here; absent where the unit is not offered. */
export const WRITTEN: Readonly<Record<string, { readonly unit: string; readonly quantity: Quantity } | undefined>> = {
  "lbf.in -> N.m": { unit: "lbf*in", quantity: "torque" },
  "lbf.ft -> N.m": { unit: "lbf*ft", quantity: "torque" },
  "ozf.in -> N.m": { unit: "ozf*in", quantity: "torque" },
  "kgf.m -> N.m": { unit: "kgf*m", quantity: "torque" },
  "lb.in2 -> kg.m2": { unit: "lb*in^2", quantity: "inertia" },
  "lb.ft2 -> kg.m2": { unit: "lb*ft^2", quantity: "inertia" },
  "lbf.in.s2 -> kg.m2": { unit: "lbf*in*s^2", quantity: "inertia" },
  "ozf.in.s2 -> kg.m2": { unit: "oz*in*s^2", quantity: "inertia" },
  "oz.in2 -> kg.m2": { unit: "oz*in^2", quantity: "inertia" },
  "lbf.ft.s2 (slug.ft2) -> kg.m2": { unit: "slug*ft^2", quantity: "inertia" },
  "kgf.cm.s2 -> kg.m2": { unit: "kgf*cm*s^2", quantity: "inertia" },
  "g.cm2 -> kg.m2": { unit: "g*cm^2", quantity: "inertia" },
  "kg.cm2 -> kg.m2": { unit: "kg*cm^2", quantity: "inertia" },
  "hp (550 ft.lbf/s) -> W": { unit: "hp", quantity: "power" },
  "lbf -> N": { unit: "lbf", quantity: "force" },
  "ozf -> N": { unit: "ozf", quantity: "force" },
  "lb -> kg": { unit: "lb", quantity: "mass" },
  "slug -> kg": { unit: "slug", quantity: "mass" },
  "in -> m": { unit: "in", quantity: "length" },
  "rpm -> rad/s": { unit: "rpm", quantity: "angular-speed" },
  "arcmin -> rad": { unit: "arcmin", quantity: "angle" },
  "ft.lbf -> J": { unit: "ft*lbf", quantity: "energy" },
};

/** Rows of shared/reference/units/units.csv: conversion, factor to all digits, and as printed; empty: not printed. */
export const CONVERSIONS: readonly { readonly name: string; readonly full: string; readonly printed: string }[] =
  readFileSync(new URL("../../shared/reference/units/units.csv", import.meta.url), "utf8")
    .trim()
    .split(/\r?\n/)
    .slice(1)
    .map((line) => {
      const [name = "", full = "", printed = ""] = line.split(",");
      return { name, full, printed };
    });
