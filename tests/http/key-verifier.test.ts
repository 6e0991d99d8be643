import { describe, expect, it } from 'vitest';
import { createAttempts } from '../../src/http/attempts.ts';
import { createKeyVerifier } from '../../src/http/key-verifier.ts';
import type { KeyHolder } from '../../src/store/keys.ts';

const shop: KeyHolder = { shopId: 's', role: 'owner', keyId: 'k', timeZone: 'Europe/London' };

/** A verifier over one good key, with a clock to turn and a count of the database's checks. */
function workbench() {
  const state = { nowMs: 0, checks: 0, good: 'good' };
  const verifier = createKeyVerifier(
    async (text) => {
      state.checks += 1;
      return text === state.good ? shop : undefined;
    },
    () => state.nowMs,
  );
  return { state, verifier };
}

describe('contract: checking keys', () => {
  it('trusts a key for two seconds, then asks the database again', async () => {
    const { state, verifier } = workbench();
    expect(await verifier.verify('good', 'a')).toBe(shop);
    state.nowMs = 1_999;
    expect(await verifier.verify('good', 'a')).toBe(shop);
    expect(state.checks).toBe(1);
    state.nowMs = 2_000;
    state.good = 'another';
    expect(await verifier.verify('good', 'a')).toBeUndefined();
    expect(state.checks).toBe(2);
  });

  it('forgets at once a key that was revoked here', async () => {
    const { state, verifier } = workbench();
    await verifier.verify('good', 'a');
    state.good = 'another';
    verifier.forget('k');
    expect(await verifier.verify('good', 'a')).toBeUndefined();
  });

  it('bars an address after twenty bad keys, without asking the database, until the minute is over', async () => {
    const { state, verifier } = workbench();
    for (let i = 0; i < 20; i++) expect(await verifier.verify(`bad-${i}`, 'a')).toBeUndefined();
    state.nowMs = 15_000;
    expect(await verifier.verify('bad', 'a')).toEqual({ waitMs: 45_000 });
    expect(await verifier.verify('good', 'a')).toEqual({ waitMs: 45_000 });
    expect(state.checks).toBe(20);
    expect(await verifier.verify('bad', 'b')).toBeUndefined();
    state.nowMs = 60_000;
    expect(await verifier.verify('good', 'a')).toBe(shop);
  });

  it('does not lock out the shop whose key was good before, from the same address', async () => {
    const { state, verifier } = workbench();
    await verifier.verify('good', 'a');
    for (let i = 0; i < 20; i++) await verifier.verify(`bad-${i}`, 'a');
    state.nowMs = 30_000;
    expect(await verifier.verify('bad', 'a')).toEqual({ waitMs: 30_000 });
    expect(await verifier.verify('good', 'a')).toBe(shop);
  });

  it('remembers a bounded number of addresses, forgetting the oldest', () => {
    const failures = createAttempts(20, 60_000, () => 0);
    for (let i = 0; i < 20; i++) failures.take('first');
    expect(failures.waitMs('first')).toBe(60_000);
    for (let i = 0; i < 9_999; i++) failures.take(`later-${i}`);
    expect(failures.waitMs('first')).toBe(60_000);
    failures.take('one more');
    expect(failures.waitMs('first')).toBe(0);
  });
});
