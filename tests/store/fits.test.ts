import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { dataState } from '../../src/store/data-state.ts';
import type { FitPlace, NewFit } from '../../src/store/fits.ts';
import { insertFit, listFits, publishFit, readFit, readPosterior, readPublished } from '../../src/store/fits.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { type FreshDatabase, freshDatabase, insertShop } from '../support/database.ts';

let db: FreshDatabase;
beforeAll(async () => {
  db = await freshDatabase();
});
afterAll(() => db.close());

describe('contract: fits in the store', () => {
  it('publishes one fit at a time and supersedes the former', async () => {
    const shopId = await insertShop(db);
    const [first, second] = [newFit({ posterior: 'one' }), newFit({ posterior: 'two' })];
    expect(await inShop(db, shopId, readPublished)).toBeUndefined();
    await inShop(db, shopId, (tx) => publishFit(tx, first));
    await inShop(db, shopId, (tx) => publishFit(tx, second));
    expect(await inShop(db, shopId, readPublished)).toEqual({
      fitId: second.fitId,
      dataState: second.dataState,
      posterior: 'two',
      scores: null,
    });
    expect((await inShop(db, shopId, (tx) => readFit(tx, first.fitId)))?.status).toBe('superseded');
    expect(await inShop(db, shopId, (tx) => readPosterior(tx, first.fitId))).toBe('one');
  });

  it('leaves the published fit alone when another is refused, and tells the reason', async () => {
    const shopId = await insertShop(db);
    const good = newFit({ posterior: 'good' });
    const refused = newFit({ reason: 'worse than the rule of thumb on 40 unseen jobs' });
    await inShop(db, shopId, (tx) => publishFit(tx, good));
    await inShop(db, shopId, (tx) => insertFit(tx, refused, 'refused'));
    expect((await inShop(db, shopId, readPublished))?.fitId).toBe(good.fitId);
    expect(await inShop(db, shopId, (tx) => readFit(tx, refused.fitId))).toMatchObject({
      status: 'refused',
      reason: 'worse than the rule of thumb on 40 unseen jobs',
      summary: { models: [] },
      scores: null,
    });
  });

  it('takes back the whole publication when the work around it fails', async () => {
    const shopId = await insertShop(db);
    const good = newFit({ posterior: 'good' });
    await inShop(db, shopId, (tx) => publishFit(tx, good));
    const failing = inShop(db, shopId, async (tx) => {
      await publishFit(tx, newFit({ posterior: 'late' }));
      throw new Error('the worker died here');
    });
    await expect(failing).rejects.toThrow('the worker died here');
    expect((await inShop(db, shopId, readPublished))?.fitId).toBe(good.fitId);
  });

  it('pages the history newest first, each fit once, even where two began together', async () => {
    const shopId = await insertShop(db);
    const starts = [1, 2, 2, 3, 4].map((day) => new Date(Date.UTC(2025, 0, day)));
    for (const startedAt of starts) await inShop(db, shopId, (tx) => insertFit(tx, newFit({ startedAt }), 'failed'));
    const seen: string[] = [];
    let place: FitPlace | undefined;
    for (;;) {
      const page = await inShop(db, shopId, (tx) => listFits(tx, 2, place));
      if (page.length === 0) break;
      seen.push(...page.map((one) => `${one.startedAt.getUTCDate()} ${one.fitId}`));
      place = page.at(-1);
    }
    expect(new Set(seen).size).toBe(5);
    expect(seen.map((one) => one.slice(0, 1))).toEqual(['4', '3', '2', '2', '1']);
  });

  it('shows a shop nothing of another', async () => {
    const [mine, other] = [await insertShop(db), await insertShop(db)];
    const hidden = newFit({ posterior: 'hidden' });
    await inShop(db, other, (tx) => publishFit(tx, hidden));
    expect(await inShop(db, mine, readPublished)).toBeUndefined();
    expect(await inShop(db, mine, (tx) => readFit(tx, hidden.fitId))).toBeUndefined();
    expect(await inShop(db, mine, (tx) => listFits(tx, 10))).toEqual([]);
  });
});

describe('contract: the state of the data', () => {
  it('stays while nothing changes, and changes with a job, a former version, a list and a setting', async () => {
    const shopId = await insertShop(db);
    const states: string[] = [];
    const note = async () => states.push(await inShop(db, shopId, dataState));
    await note();
    await inShop(
      db,
      shopId,
      (tx) => tx.sql`
      insert into job (shop_id, ref, version, finished_at, record, digest)
      values (${shopId}, 'A-1', 1, now(), '{}', sha256('a'))`,
    );
    await note();
    await inShop(
      db,
      shopId,
      (tx) => tx.sql`
      insert into job_version (shop_id, ref, version, record, digest, reason)
      values (${shopId}, 'A-1', 1, '{}', sha256('a'), 'replaced')`,
    );
    await note();
    await inShop(
      db,
      shopId,
      (tx) => tx.sql`insert into technician (shop_id, key, name) values (${shopId}, 'tia', 'Tia')`,
    );
    await note();
    await inShop(db, shopId, (tx) => tx.sql`update technician set active_until = '2025-01-31' where key = 'tia'`);
    await note();
    await inShop(
      db,
      shopId,
      (tx) => tx.sql`
      insert into machine (shop_id, key, name, kind, grade) values (${shopId}, 'big', 'Big', 'extractor', 'high')`,
    );
    await note();
    await inShop(db, shopId, (tx) => tx.sql`update shop set settings = '{"labourRate": 50}' where shop_id = ${shopId}`);
    await note();
    expect(new Set(states).size).toBe(7);
    expect(await inShop(db, shopId, dataState)).toBe(states.at(-1));
    expect(states.at(-1)).toMatch(/^1\.1\.[0-9a-f]{16}$/);
  });
});

function newFit(given: Partial<NewFit> & { readonly posterior?: string }): NewFit & { readonly posterior: string } {
  const startedAt = new Date('2025-01-01T02:30:00Z');
  return {
    fitId: randomUUID(),
    dataState: '0.0.x',
    startedAt,
    finishedAt: new Date('2025-01-01T02:30:05Z'),
    reason: null,
    nJobs: 0,
    summary: { models: [] },
    scores: null,
    posterior: 'encoded',
    ...given,
  };
}
