/** Tries remembered at once; those that began longest ago are forgotten first, so memory stays bounded. */
const remembered = 10_000;

export interface Attempts {
  /** Counts a try before its outcome is known; milliseconds to wait where there were too many, 0 where it may go on. */
  take(who: string): number;
  /** It was the right one after all: the count begins anew. */
  forgive(who: string): void;
}

/** Counts tries by whoever makes them, in fixed windows. In this process only: it slows guessing, it is no lock. */
export function createAttempts(allowed: number, windowMs: number, nowMs: () => number): Attempts {
  const windows = new Map<string, { readonly endsAt: number; tries: number }>();
  return {
    take: (who) => {
      const seen = windows.get(who);
      if (seen && seen.endsAt > nowMs()) {
        if (seen.tries >= allowed) return seen.endsAt - nowMs();
        seen.tries += 1;
        return 0;
      }
      windows.delete(who);
      windows.set(who, { endsAt: nowMs() + windowMs, tries: 1 });
      if (windows.size > remembered) windows.delete(windows.keys().next().value ?? who);
      return 0;
    },
    forgive: (who) => void windows.delete(who),
  };
}
