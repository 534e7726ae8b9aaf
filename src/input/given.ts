/** An object's members that have a value. */
export type Given<T> = { readonly [K in keyof T]?: Exclude<T[K], undefined> };

/** Leaves out the members whose value is undefined, so that "absent" has one form only. */
export function given<T extends object>(values: T): Given<T>;
export function given(values: object): object {
  return Object.fromEntries(Object.entries(values).filter(([, value]) => value !== undefined));
}
