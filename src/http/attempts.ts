import { keep } from './keep.ts';

/** Tries remembered at once; those that began longest ago are forgotten first. */
const remembered = 10_000;

export interface Attempts {
  /** Milliseconds to wait where there were too many, 0 where it may go on. */
  waitMs(who: string): number;
  /** Counts a try before its outcome is known, unless it has to wait; the milliseconds to wait. */
  take(who: string): number;
  /** It was the right one after all: the count begins anew. */
  forgive(who: string): void;
}

/** Counts tries by whoever makes them, in fixed windows. In this process only: it slows guessing, it is no lock. */
export function createAttempts(allowed: number, windowMs: number, nowMs: () => number): Attempts {
  const windows = new Map<string, { readonly endsAt: number; tries: number }>();
  const waitMs = (who: string) => {
    const seen = windows.get(who);
    return seen && seen.tries >= allowed ? Math.max(0, seen.endsAt - nowMs()) : 0;
  };
  return {
    waitMs,
    take: (who) => {
      const wait = waitMs(who);
      if (wait > 0) return wait;
      const seen = windows.get(who);
      if (seen && seen.endsAt > nowMs()) seen.tries += 1;
      else keep(windows, who, { endsAt: nowMs() + windowMs, tries: 1 }, remembered);
      return 0;
    },
    forgive: (who) => void windows.delete(who),
  };
}
