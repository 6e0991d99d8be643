import { createHash } from 'node:crypto';
import type { KeyHolder } from '../store/keys.ts';
import { createAttempts } from './attempts.ts';
import { keep } from './keep.ts';

/** A revoked key may work this long in another process; in the one that revoked it, not at all. */
const trustMs = 2_000;
const rememberedKeys = 1_000;
/** How often an address may fail in a minute. */
const allowedFailures = 20;

/** Whose key it is; `undefined`: nobody's; a wait: this address failed too often. */
type Verified = KeyHolder | { readonly waitMs: number } | undefined;

export interface KeyVerifier {
  verify(text: string, address: string): Promise<Verified>;
  /** Trusts nothing about this key any longer: it has just been revoked. */
  forget(keyId: string): void;
}

/**
 * Puts a short memory and a limit on failures before the database's check.
 * A key that was good a moment ago is checked again even where its address is barred: a guesser behind the same
 * router must not lock out the shop.
 */
export function createKeyVerifier(
  check: (text: string) => Promise<KeyHolder | undefined>,
  nowMs: () => number,
): KeyVerifier {
  const failures = createAttempts(allowedFailures, 60_000, nowMs);
  const known = new Map<string, { readonly shop: KeyHolder; readonly checkedAt: number }>();
  return {
    verify: async (text, address) => {
      const digest = digestOf(text);
      const before = known.get(digest);
      if (before && nowMs() - before.checkedAt < trustMs) return before.shop;
      const waitMs = before ? 0 : failures.waitMs(address);
      if (waitMs > 0) return { waitMs };
      const shop = await check(text);
      known.delete(digest);
      if (!shop) {
        failures.take(address);
        return undefined;
      }
      keep(known, digest, { shop, checkedAt: nowMs() }, rememberedKeys);
      return shop;
    },
    forget: (keyId) => {
      for (const [digest, { shop }] of known) if (shop.keyId === keyId) known.delete(digest);
    },
  };
}

/** Keys themselves are not kept in memory. */
function digestOf(text: string): string {
  return createHash('sha256').update(text).digest('base64');
}
