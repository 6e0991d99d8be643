import { randomUUID } from 'node:crypto';
import postgres from 'postgres';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { listEstimates, readRecordsOf } from '../../src/store/estimates.ts';
import { inShop, type ShopTransaction } from '../../src/store/shop-scope.ts';
import { type FreshDatabase, freshDatabase, insertShop } from '../support/database.ts';

let db: FreshDatabase;
let shopId: string;
const estimateId = randomUUID();
beforeAll(async () => {
  db = await freshDatabase();
  shopId = await insertShop(db);
  await inShop(db, shopId, async ({ sql }) => {
    await sql`insert into estimate ${sql({ shop_id: shopId, estimate_id: estimateId, request: '{}', answer: '{}' })}`;
    await sql`
      insert into job (shop_id, ref, version, finished_at, record, digest)
      select ${shopId}, 'J-' || i, 1, now(), jsonb_build_object('ref', 'J-' || i, 'quoted', jsonb_build_object(
        'estimate', case i when 7 then ${estimateId}::uuid else gen_random_uuid() end)), ${Buffer.alloc(32)}
      from generate_series(1, 2000) as i`;
  });
  const owner = postgres(db.ownerUrl, { max: 1, onnotice: () => {} });
  await owner.begin(async (sql) => {
    await sql`select set_config('app.every_shop', 'on', true)`;
    await sql`analyze job, estimate`;
  });
  await owner.end();
});
afterAll(() => db.close());

/** How often this transaction looked into the index, with what its connection did before and has not told yet. */
async function timesLookedUp({ sql }: ShopTransaction): Promise<number> {
  const [row] = await sql`select pg_stat_get_xact_numscans('job_by_estimate'::regclass)::int as n`;
  return row?.n;
}

describe('contract: the jobs of an estimate', () => {
  it('are found by an index, row-level security notwithstanding', async () => {
    await inShop(db, shopId, async (tx) => {
      const before = await timesLookedUp(tx);
      expect((await readRecordsOf(tx, estimateId)).map(({ ref }) => ref)).toEqual(['J-7']);
      expect(await timesLookedUp(tx)).toBe(before + 1);
      const [listed] = await listEstimates(tx, { limit: 10 });
      expect(listed).toMatchObject({ estimateId, record: { ref: 'J-7' } });
      expect(await timesLookedUp(tx)).toBe(before + 2);
    });
  });
});
