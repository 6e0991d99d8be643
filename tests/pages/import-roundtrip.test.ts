import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { FinishedJob } from '../../src/domain/record.ts';
import { putMachines, putTechnicians } from '../../src/store/lists.ts';
import { readRecordPage } from '../../src/store/records.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { machines, sentRecord, technicians } from '../domain/arbitrary-record.ts';
import { type AppUnderTest, startApp } from '../http/app-under-test.ts';
import { choose, sendFile } from './import-under-test.ts';
import { get, post, signedIn } from './pages-under-test.ts';

/** All of the records that are made up lie before this. */
const later = new Date('2030-01-01T00:00:00Z');
let app: AppUnderTest;
beforeAll(async () => {
  app = await startApp({ now: () => later });
});
afterAll(() => app.close());

/** An owner of a new shop with the people and machines that the records name. */
async function openOwner() {
  const { shopId, keys } = await app.openShop();
  await inShop(app.db, shopId, async (tx) => {
    await putTechnicians(
      tx,
      technicians.map((key) => ({ key, name: `Invented ${key}` })),
    );
    await putMachines(
      tx,
      machines.map((key) => ({ key, name: key, kind: 'extractor' as const, grade: 'entry' as const })),
    );
  });
  const { cookie } = await signedIn(app, shopId, 'owner', later);
  return { shopId, key: keys.owner, cookie };
}

async function stored(shopId: string): Promise<readonly FinishedJob[]> {
  const { records } = await inShop(app.db, shopId, (tx) => readRecordPage(tx, {}, { limit: 1000 }));
  return records;
}

describe('identity: what is given out is taken in unchanged', () => {
  it('through the pages, as CSV, in the same shop and in another, whatever the records hold', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.uniqueArray(sentRecord, { minLength: 1, maxLength: 12, selector: ({ ref }) => ref.trim() }),
        async (records) => {
          const [from, to] = [await openOwner(), await openOwner()];
          const body = records.map((record) => JSON.stringify(record)).join('\n');
          const headers = { 'Content-Type': 'application/x-ndjson' };
          await app.call('POST', '/v1/records', { key: from.key, body, headers });
          const before = await stored(from.shopId);
          expect(before).toHaveLength(records.length);
          const file = await (await get(app, '/export/records?form=csv', from.cookie)).text();
          for (const shop of [from, to]) {
            const base = await sendFile(app, shop, 'jobs.csv', file);
            await choose(app, shop, base, 'columns', {});
            await choose(app, shop, base, 'values', {});
            await post(app, `${base}/take-in`, {}, shop);
            const said = await (await get(app, `${base}/result`, shop.cookie)).text();
            const label = shop === from ? 'There already' : 'New, stored';
            const jobs = `${records.length} ${records.length === 1 ? 'job' : 'jobs'}`;
            expect(said).toContain(`${label}</dt><dd>${jobs}</dd>`);
            expect(await stored(shop.shopId)).toEqual(before);
          }
        },
      ),
      { numRuns: 20 },
    );
  }, 300_000);

  it('gives out the days asked for, as NDJSON too, and the lists as the interface takes them', async () => {
    const { key, cookie } = await openOwner();
    const record = fc.sample(sentRecord, 1)[0];
    await app.call('POST', '/v1/records', { key, json: { ...record, finishedAt: '2025-06-01T12:00:00Z' } });
    const rows = async (query: string) =>
      (await (await get(app, `/export/records?${query}`, cookie)).text()).split('\n').filter((line) => line !== '')
        .length;
    expect(await rows('form=ndjson')).toBe(1);
    expect(await rows('form=ndjson&from=2025-06-01&to=2025-06-01')).toBe(1);
    expect(await rows('form=ndjson&from=2025-06-02')).toBe(0);
    expect(await rows('form=csv&to=2025-05-31')).toBe(1); // the header alone
    const backwards = await get(app, '/export/records?from=2025-06-02&to=2025-06-01', cookie);
    expect([backwards.status, (await backwards.text()).includes('not before 2025-06-02')]).toEqual([422, true]);
    for (const list of ['technicians', 'machines']) {
      const given = await get(app, `/export/${list}.json`, cookie);
      expect(given.headers.get('content-disposition')).toContain(`${list}.json`);
      const put = await app.call('PUT', `/v1/${list}`, { key, json: await given.json() });
      expect(put.status).toBe(200);
    }
  });

  it('gives nothing to technician and desk', async () => {
    const { shopId } = await app.openShop();
    for (const role of ['technician', 'desk'] as const) {
      const { cookie } = await signedIn(app, shopId, role, later);
      for (const path of ['/export', '/export/records', '/export/technicians.json', '/export/machines.json'])
        expect((await get(app, path, cookie)).status, path).toBe(403);
    }
  });
});
