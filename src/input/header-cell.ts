const NAME_THEN_UNIT = /^([^[\]]*?)\s*(?:\[([^[\]]*)\])?$/;

/** The name and the unit of a column, as in `peak_torque [N*m]`; without brackets there is no unit. */
export function nameAndUnit(header: string): { readonly name: string; readonly unit: string | undefined } {
  const [, name = header, unit] = NAME_THEN_UNIT.exec(header) ?? [];
  return { name, unit };
}
