import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { FinishedJob } from '../../src/domain/record.ts';
import { readAllRecords } from '../../src/store/records-read.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { type FreshDatabase, freshDatabase, insertShop } from '../support/database.ts';

let db: FreshDatabase;
beforeAll(async () => {
  db = await freshDatabase();
});
afterAll(() => db.close());

describe('contract: reading all records of a shop', () => {
  it('gives each once, by the time it ended, over several batches, and none of another shop', async () => {
    const [mine, other] = [await insertShop(db), await insertShop(db)];
    await insertJobs(mine, 1_234);
    await insertJobs(other, 3);
    const refs = await inShop(db, mine, async (tx) => {
      const seen: string[] = [];
      for await (const record of readAllRecords(tx)) seen.push(record.ref);
      return seen;
    });
    expect(refs).toHaveLength(1_234);
    expect(refs.slice(0, 3)).toEqual(['J-1234', 'J-1233', 'J-1232']);
    expect(new Set(refs).size).toBe(1_234);
  });

  it('may be left before its end, and the transaction goes on', async () => {
    const shopId = await insertShop(db);
    await insertJobs(shopId, 700);
    const count = await inShop(db, shopId, async (tx) => {
      let first: FinishedJob | undefined;
      for await (const record of readAllRecords(tx)) {
        first = record;
        break;
      }
      expect(first?.ref).toBe('J-700');
      const [row] = await tx.sql<{ n: number }[]>`select count(*)::int as n from job`;
      return row?.n;
    });
    expect(count).toBe(700);
  });
});

/** Job number i ended i minutes ago. */
async function insertJobs(shopId: string, count: number): Promise<void> {
  await inShop(
    db,
    shopId,
    (tx) => tx.sql`
    insert into job (shop_id, ref, version, finished_at, record, digest)
    select ${shopId}, 'J-' || i, 1, now() - make_interval(mins => i), jsonb_build_object('ref', 'J-' || i), sha256('x')
    from generate_series(1, ${count}::int) as i`,
  );
}
