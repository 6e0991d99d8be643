import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createKey, listKeys, revokeKey, verifyKey } from '../../src/store/keys.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { createShop } from '../../src/store/shops.ts';
import type { FreshDatabase } from '../support/database.ts';
import { freshDatabase } from '../support/database.ts';

let db: FreshDatabase;
let [ours, theirs] = ['', ''];
beforeAll(async () => {
  db = await freshDatabase();
  ours = (await createShop(db, { name: 'Ours', timeZone: 'Europe/London' })).shopId;
  theirs = (await createShop(db, { name: 'Theirs', timeZone: 'UTC' })).shopId;
});
afterAll(() => db?.close());

const makeKey = (shopId: string) => inShop(db, shopId, (tx) => createKey(tx, { role: 'desk', label: 'front desk' }));

describe('contract: API keys', () => {
  it('tells whose a key is, in the form that the contract gives', async () => {
    const { keyId, text } = await makeKey(ours);
    expect(text).toMatch(new RegExp(`^spk_${ours.replaceAll('-', '')}_${keyId}_[A-Za-z0-9_-]{43}$`));
    expect(await verifyKey(db, text)).toEqual({ shopId: ours, keyId, role: 'desk', timeZone: 'Europe/London' });
  });

  it('knows no key that is changed, cut, of another shop, or of none', async () => {
    const { text } = await makeKey(ours);
    const { text: other } = await makeKey(theirs);
    const secret = text.slice(-43);
    const wrong = [
      `${text.slice(0, -2)}${text.at(-2) === 'A' ? 'B' : 'A'}${text.at(-1)}`,
      text.slice(0, -1),
      `${text}x`,
      text.toUpperCase(),
      text.replace(ours.replaceAll('-', ''), theirs.replaceAll('-', '')),
      other.slice(0, -43) + secret,
      text.replace(/^spk_[0-9a-f]{32}/, `spk_${'0'.repeat(32)}`),
      '',
      "spk_' or 1=1 --",
    ];
    for (const each of wrong) expect(await verifyKey(db, each), each).toBeUndefined();
  });

  it('stores no secret, only its hash', async () => {
    const { text, keyId } = await makeKey(ours);
    const [row] = await inShop(db, ours, (tx) => tx.sql`select k::text as row from api_key k where key_id = ${keyId}`);
    expect(row?.row).not.toContain(text.slice(-43));
    expect(row?.row).toContain(keyId);
  });

  it('ends a revoked key at once, and only in its own shop', async () => {
    const { keyId, text } = await makeKey(ours);
    expect(await inShop(db, theirs, (tx) => revokeKey(tx, keyId))).toBe(false);
    expect(await verifyKey(db, text)).toMatchObject({ keyId });
    expect(await inShop(db, ours, (tx) => revokeKey(tx, keyId))).toBe(true);
    expect(await verifyKey(db, text)).toBeUndefined();
    expect(await inShop(db, ours, (tx) => revokeKey(tx, keyId))).toBe(false);
    const keys = await inShop(db, ours, listKeys);
    expect(keys.find((key) => key.keyId === keyId)).toMatchObject({ role: 'desk', revokedAt: expect.any(Date) });
    expect(JSON.stringify(keys)).not.toMatch(/secret|hash/i);
  });
});
