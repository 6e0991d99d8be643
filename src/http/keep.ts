/** Puts an entry last, and where there are then more than `most` forgets the first: memory stays bounded. */
export function keep<K, V>(entries: Map<K, V>, key: K, value: V, most: number): void {
  entries.delete(key);
  entries.set(key, value);
  if (entries.size > most) entries.delete(entries.keys().next().value ?? key);
}
