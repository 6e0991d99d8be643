import { type Attempts, createAttempts } from './attempts.ts';

const quarterMs = 15 * 60_000;

/** Milliseconds to wait before the next try; 0: go on, and say `right()` where the password was. */
type Turn = { readonly waitMs: number } | { readonly right: () => void };

/**
 * Limits tries of passwords three ways: one account from one address, so that a forgetful owner waits and nobody else;
 * one account from everywhere, against many addresses; and one address on all accounts, against lists of names.
 */
export function createSignInLimit(nowMs: () => number): (account: string, address: string) => Turn {
  const pair = createAttempts(8, quarterMs, nowMs);
  const account = createAttempts(40, quarterMs, nowMs);
  const address = createAttempts(60, quarterMs, nowMs);
  return (name, from) => {
    const counts: readonly (readonly [Attempts, string])[] = [
      [address, from],
      [pair, `${from} ${name}`],
      [account, name],
    ];
    for (const [attempts, who] of counts) {
      const waitMs = attempts.take(who);
      if (waitMs > 0) return { waitMs };
    }
    return {
      right: () => {
        pair.forgive(`${from} ${name}`);
        account.forgive(name); // not the address: whoever has one good password must not try others without end
      },
    };
  };
}
