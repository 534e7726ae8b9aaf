import type { BindingFound, BusFound, CapFound, StepFound } from "../explain/explanation.ts";
import type { Binding, LimitResult, NextStep } from "../machine/result.ts";
import { type TableWriter, unitOfLimit } from "./table-units.ts";

/** Why an axis or bus is held, as the document has it. */
export function bindingResult(
  found: BindingFound | BusFound | undefined,
  table: TableWriter,
  isRotary: boolean,
): Binding {
  if (found === undefined || found.kind !== "held") {
    return { limits: [], reason: found?.kind ?? "not-searched", price: 0, next_step: null };
  }
  return {
    limits: found.limits,
    price: table.figure(found.price, "cent"),
    next_step: found.nextStep === undefined ? null : stepResult(found.nextStep, table, isRotary),
    ...(found.isProved ? {} : { quick: true as const }),
    ...("unlimited" in found ? { unlimited: found.unlimited } : {}),
  };
}

function stepResult(
  { share, relief, part, pick, total, isLeast }: StepFound,
  table: TableWriter,
  isRotary: boolean,
): NextStep {
  return {
    share,
    relief: relief.map(({ id, demand, allowed }) => {
      const unit = unitOfLimit(id, isRotary);
      const [needed, now] = [table.figure(demand, unit), table.figure(allowed, unit)];
      return { id, demand: needed, allowed: now, relief: needed - now, unit: table.unit(unit) };
    }),
    part,
    ...(pick === undefined ? {} : { pick }),
    total: table.figure(total, "cent"),
    ...(isLeast ? { least: true as const } : {}),
  };
}

/** Puts price and next step on a limit that binds alone. */
export function withPrice(limits: readonly LimitResult[], { limits: held, price, next_step }: Binding): LimitResult[] {
  return limits.map((limit) => {
    if (held.length !== 1 || held[0] !== limit.id) return limit;
    return { ...limit, price, ...(next_step === null ? {} : { next_step }) };
  });
}

/** Puts the price of each cap on it. */
export function withCapPrices(
  limits: readonly LimitResult[],
  caps: readonly CapFound[],
  table: TableWriter,
): LimitResult[] {
  return limits.map((limit) => {
    const cap = caps.find(({ id }) => id === limit.id);
    if (cap === undefined) return limit;
    const step = cap.nextStep === undefined ? {} : { next_step: stepResult(cap.nextStep, table, false) };
    return { ...limit, price: table.figure(cap.price, "cent"), ...step };
  });
}
