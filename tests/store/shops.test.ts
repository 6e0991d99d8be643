import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { inShop } from '../../src/store/shop-scope.ts';
import {
  createShop,
  listShopsForNightly,
  readShop,
  readShopSettings,
  replaceShopSettings,
} from '../../src/store/shops.ts';
import type { FreshDatabase } from '../support/database.ts';
import { freshDatabase } from '../support/database.ts';

let db: FreshDatabase;
beforeAll(async () => {
  db = await freshDatabase();
});
afterAll(() => db?.close());

describe('contract: shops', () => {
  it('opens a shop with the default settings filled in, and lists it for the nightly run', async () => {
    const made = await createShop(db, {
      name: ' Invented ',
      timeZone: 'Asia/Kathmandu',
      settings: { currency: 'GBP' },
    });
    expect(made).toMatchObject({ name: 'Invented', timeZone: 'Asia/Kathmandu', invented: false });
    expect(made.settings).toMatchObject({ currency: 'GBP', labourRate: 40, overrunRisk: 0.2, units: 'si' });
    expect(await inShop(db, made.shopId, readShop)).toEqual(made);
    expect(await listShopsForNightly(db)).toContainEqual({ shopId: made.shopId, timeZone: 'Asia/Kathmandu' });
  });

  it('replaces one shop’s settings and leaves the other’s', async () => {
    const [one, two] = [
      await createShop(db, { name: 'One', timeZone: 'UTC' }),
      await createShop(db, { name: 'Two', timeZone: 'UTC' }),
    ];
    const settings = { ...one.settings, labourRate: 55.5, rules: { 'passes.int': { mean: 0.4 } } };
    await inShop(db, one.shopId, (tx) => replaceShopSettings(tx, settings));
    expect(await inShop(db, one.shopId, readShopSettings)).toEqual(settings);
    expect(await inShop(db, two.shopId, readShopSettings)).toEqual(two.settings);
  });

  it('opens none without a name or in a place where no clock runs', async () => {
    const before = await listShopsForNightly(db);
    await expect(createShop(db, { name: '  ', timeZone: 'UTC' })).rejects.toThrow();
    await expect(createShop(db, { name: 'x', timeZone: 'Europe/Nowhere' })).rejects.toThrow('not a time zone');
    await expect(createShop(db, { name: 'x', timeZone: '+01:00' })).rejects.toThrow('not a time zone');
    expect(await listShopsForNightly(db)).toEqual(before);
  });

  it('has no settings for a shop that does not exist', async () => {
    const nobody = '00000000-0000-4000-8000-000000000000';
    expect(await inShop(db, nobody, readShop)).toBeUndefined();
    await expect(inShop(db, nobody, readShopSettings)).rejects.toThrow('does not exist');
  });
});
