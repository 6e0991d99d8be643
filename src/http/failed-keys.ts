/** How often an address may fail: this many in a window, then it waits for the window's end. */
const allowedFailures = 20;
const windowMs = 60_000;
/** Addresses remembered at once; the one that began longest ago is forgotten first, so memory stays bounded. */
const rememberedAddresses = 10_000;

export interface FailedKeys {
  /** Milliseconds until this address may try again; 0 where it may now. */
  waitMs(address: string): number;
  failed(address: string): void;
}

/** Counts refused keys by client address in fixed windows. Kept in this process only: it slows guessing, it is no lock. */
export function createFailedKeys(nowMs: () => number): FailedKeys {
  const windows = new Map<string, { readonly endsAt: number; failures: number }>();
  return {
    waitMs: (address) => {
      const seen = windows.get(address);
      return seen && seen.failures >= allowedFailures ? Math.max(0, seen.endsAt - nowMs()) : 0;
    },
    failed: (address) => {
      const seen = windows.get(address);
      if (seen && seen.endsAt > nowMs()) {
        seen.failures += 1;
        return;
      }
      windows.delete(address);
      windows.set(address, { endsAt: nowMs() + windowMs, failures: 1 });
      if (windows.size > rememberedAddresses) windows.delete(windows.keys().next().value ?? address);
    },
  };
}
