import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createDemo } from '../../seed/demo.ts';
import { readMachines, readTechnicians } from '../../src/store/lists.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { readShop } from '../../src/store/shops.ts';
import { type FreshDatabase, freshDatabase } from '../support/database.ts';

describe('contract: the invented shop in the database', () => {
  let db: FreshDatabase;
  const lines: string[] = [];
  const make = (at: string) => createDemo({ db, now: () => new Date(at), log: (line) => lines.push(line) });
  const countJobs = (shopId: string) =>
    inShop(db, shopId, async ({ sql }) => Number((await sql`select count(*) from job`)[0]?.count));

  beforeAll(async () => {
    db = await freshDatabase();
  });
  afterAll(() => db.close());

  it('is made whole, found again on the next day, and marked as invented', async () => {
    const first = await make('2026-03-14T10:00:00Z');
    expect(first.created).toBe(true);
    const jobs = await countJobs(first.shopId);
    expect(jobs).toBeGreaterThan(600);
    expect(await inShop(db, first.shopId, readShop)).toMatchObject({ invented: true });
    expect(await inShop(db, first.shopId, readTechnicians)).toHaveLength(6);
    expect(await inShop(db, first.shopId, readMachines)).toHaveLength(3);

    expect(await make('2026-03-15T10:00:00Z')).toEqual({ shopId: first.shopId, created: false });
    expect(await countJobs(first.shopId)).toBe(jobs);
    expect(lines).toHaveLength(2);
  });

  it('is filled again where its making was cut short after the shop was opened', async () => {
    const { shopId } = await make('2026-03-14T10:00:00Z');
    const jobs = await countJobs(shopId);
    await inShop(db, shopId, ({ sql }) => sql`delete from job`);
    expect(await make('2026-03-14T10:00:00Z')).toEqual({ shopId, created: true });
    expect(await countJobs(shopId)).toBe(jobs);
  });
});
