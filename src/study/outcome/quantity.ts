/** A response's name with its unit. */
export function quantityOf({ id, unit }: { readonly id: string; readonly unit: string }): string {
  return unit === "" ? id : `${id} [${unit}]`;
}
