/** A map, weak or not. */
interface Store<Key, Value> {
  readonly get: (key: Key) => Value | undefined;
  readonly set: (key: Key, value: Value) => unknown;
}

/** What a store holds at a key; made and kept where it holds nothing yet. */
export function remembered<Key, Value>(store: Store<Key, Value>, key: Key, make: () => Value): Value {
  const kept = store.get(key);
  if (kept !== undefined) return kept;
  const made = make();
  store.set(key, made);
  return made;
}
