/** At most so many of the jobs, evenly spaced; no choice looks at how they came out. */
export function evenly<T>(jobs: readonly T[], most: number): readonly T[] {
  if (jobs.length <= most) return jobs;
  return Array.from({ length: most }, (_, i) => jobs[Math.floor(((i + 0.5) * jobs.length) / most)]);
}
