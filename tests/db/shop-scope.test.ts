import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { shop } from '../../db/schema.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import type { FreshDatabase } from '../support/database.ts';
import { freshDatabase, insertShop } from '../support/database.ts';

let db: FreshDatabase;
beforeAll(async () => {
  db = await freshDatabase();
});
afterAll(() => db?.close());

describe('contract: a transaction in a shop', () => {
  it('sees its own shop by plain SQL and by drizzle, on the same connection', async () => {
    const shopId = await insertShop(db, 'One');
    await insertShop(db, 'Two');
    const seen = await inShop(db, shopId, async (tx) => {
      await tx.sql`update shop set name = 'One, renamed'`;
      return [await tx.sql`select name from shop`, await tx.orm.select({ name: shop.name }).from(shop)];
    });
    expect(seen.map((rows) => [...rows])).toEqual([[{ name: 'One, renamed' }], [{ name: 'One, renamed' }]]);
  });

  it('leaves the connection without a shop', async () => {
    const shopId = await insertShop(db);
    const [inside] = await inShop(db, shopId, (tx) => tx.sql`select pg_backend_pid() as pid`);
    const rows = await Promise.all(
      Array.from({ length: 20 }, () => db.sql`select pg_backend_pid() as pid, (select count(*) from shop)::int as n`),
    );
    expect(rows.flat().map((row) => row.pid)).toContain(inside?.pid);
    expect(new Set(rows.flat().map((row) => row.n))).toEqual(new Set([0]));
  });

  it('undoes everything where the work fails', async () => {
    const shopId = await insertShop(db, 'Before');
    const failing = inShop(db, shopId, async (tx) => {
      await tx.sql`update shop set name = 'After'`;
      throw new Error('stopped half-way');
    });
    await expect(failing).rejects.toThrow('stopped half-way');
    const [row] = await inShop(db, shopId, (tx) => tx.sql`select name from shop`);
    expect(row?.name).toBe('Before');
  });

  it('fails where the shop is no shop at all', async () => {
    await expect(inShop(db, 'no uuid', (tx) => tx.sql`select from job`)).rejects.toThrow('invalid input syntax');
  });

  it('keeps instants to the millisecond and documents as they are, by both ways', async () => {
    const createdAt = new Date('2024-03-31T01:30:00.123Z');
    const settings = { rules: { 'passes.int': { mean: 0.1 } }, text: 'ä "quoted"' };
    const [one, two] = [randomUUID(), randomUUID()];
    await inShop(db, one, (tx) =>
      tx.orm.insert(shop).values({ shopId: one, name: 'd', timeZone: 'UTC', settings, createdAt }),
    );
    await inShop(
      db,
      two,
      (tx) =>
        tx.sql`insert into shop ${tx.sql({
          shop_id: two,
          name: 'p',
          time_zone: 'UTC',
          settings: tx.sql.json(settings),
          created_at: createdAt,
        })}`,
    );
    for (const shopId of [one, two]) {
      const rows = await inShop(db, shopId, (tx) => tx.sql`select settings, created_at as "createdAt" from shop`);
      const [byOrm] = await inShop(db, shopId, (tx) => tx.orm.select().from(shop));
      expect([...rows]).toEqual([{ settings, createdAt }]);
      expect(byOrm).toMatchObject({ settings, createdAt });
    }
  });
});
