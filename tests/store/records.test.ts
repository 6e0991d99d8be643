import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { FinishedJob } from '../../src/domain/record.ts';
import { finishedJob } from '../../src/domain/record.ts';
import { deleteRecord, followUp, insertRecords, readRecord, replaceRecord, rowOf } from '../../src/store/records.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { anotherWaits, type FreshDatabase, freshDatabase, insertShop } from '../support/database.ts';

let db: FreshDatabase;
let shopId: string;
beforeAll(async () => {
  db = await freshDatabase();
  shopId = await insertShop(db);
});
afterAll(() => db.close());

describe('contract: records in the store', () => {
  it('give back every text and number to the last digit', async () => {
    const record = job('exact', { note: '\\ \u001e \u007f \n\t"\' 😀 é', sprayedLitres: 0.1 + 0.2, dilution: 5e-324 });
    await insert([record]);
    expect(await inShop(db, shopId, (tx) => readRecord(tx, 'exact'))).toMatchObject({ version: 1, record });
  });

  it('a batch with one ref three times stores the first of them', async () => {
    const outcomes = await insert([job('x'), job('y'), job('x'), job('x', { note: 'other' })]);
    expect(outcomes).toEqual(['stored', 'stored', 'unchanged', 'conflicting']);
    expect(await insert([])).toEqual([]);
  });

  it('a record that cannot be stored takes its whole batch with it: none is half there', async () => {
    const bad = { ...rowOf(job('bad')), json: '{"cut' };
    await expect(inShop(db, shopId, (tx) => insertRecords(tx, [rowOf(job('good')), bad]))).rejects.toThrow();
    expect(await inShop(db, shopId, (tx) => readRecord(tx, 'good'))).toBeUndefined();
  });

  it('a post while the same ref is being deleted waits, and numbers never collide', async () => {
    await insert([job('race')]);
    let posted: Promise<string[]> | undefined;
    await inShop(db, shopId, async (tx) => {
      await deleteRecord(tx, 'race', undefined, 'k');
      posted = insert([job('race', { note: 'new' })]);
      await anotherWaits(tx);
    });
    expect(await posted).toEqual(['stored']);
    await inShop(db, shopId, (tx) => replaceRecord(tx, job('race', { note: 'newer' }), undefined, 'k'));
    const removed = await inShop(db, shopId, (tx) => deleteRecord(tx, 'race', undefined, 'k'));
    expect(removed.outcome).toBe('changed');
    const versions = await inShop(
      db,
      shopId,
      (tx) => tx.sql`select version from job_version where ref = 'race' order by 1`,
    );
    expect(versions.map(({ version }) => version)).toEqual([1, 2, 3]);
  });

  it('a follow-up that throws leaves the record and its versions as they were', async () => {
    await insert([job('kept')]);
    const failing = inShop(db, shopId, (tx) =>
      followUp(tx, 'kept', { reason: 'check', by: 'k' }, () => {
        throw new Error('no');
      }),
    );
    await expect(failing).rejects.toThrow('no');
    expect(await inShop(db, shopId, (tx) => readRecord(tx, 'kept'))).toMatchObject({ version: 1 });
  });

  it('a change moves the instant that records are found by', async () => {
    await insert([job('moved')]);
    const record = job('moved', { finishedAt: '2025-01-01T01:00:00+02:00' });
    await inShop(db, shopId, (tx) => replaceRecord(tx, record, undefined, 'k'));
    const [row] = await inShop(db, shopId, (tx) => tx.sql`select finished_at from job where ref = 'moved'`);
    expect(row?.finished_at).toEqual(new Date('2024-12-31T23:00:00Z'));
  });
});

function job(ref: string, change: object = {}): FinishedJob {
  return finishedJob.parse({
    ref,
    finishedAt: '2025-03-04T15:20:00Z',
    bodyStyle: 'sedan',
    labour: [{ technician: 'mira', minutes: 195 }],
    sections: [{ area: 'front-seat', fabric: 'knit', soil: 'heavy', method: 'spot', wetPasses: 2 }],
    ...change,
  });
}

async function insert(records: readonly FinishedJob[]): Promise<string[]> {
  const outcomes = await inShop(db, shopId, (tx) => insertRecords(tx, records.map(rowOf)));
  return outcomes.map(({ kind }) => kind);
}
