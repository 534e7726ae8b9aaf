/** The name of a factor or a response with its unit: `lift-mass [kg]`. */
export function quantityOf({ id, unit }: { readonly id: string; readonly unit: string }): string {
  return unit === "" ? id : `${id} [${unit}]`;
}
