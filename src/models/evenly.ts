/** At most so many of them, evenly spaced in their order; no choice of jobs looks at how they came out. */
export function evenly<T>(all: readonly T[], most: number): readonly T[] {
  if (all.length <= most) return all;
  return Array.from({ length: most }, (_, i) => all[Math.floor(((i + 0.5) * all.length) / most)]);
}
