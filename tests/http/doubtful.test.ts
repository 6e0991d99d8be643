import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { computeFit } from '../../jobs/compute-fit.ts';
import { runShop } from '../../jobs/run-shop.ts';
import { finishedJob } from '../../src/domain/record.ts';
import type { DoubtfulReport } from '../../src/insight/doubtful.ts';
import { inShop } from '../../src/store/shop-scope.ts';
import { type ProblemRead, read, startApp } from './app-under-test.ts';
import { jobOf, linesOf, openRecordsShop, type RecordsShop } from './records-shop.ts';

let app: Awaited<ReturnType<typeof startApp>>;
let shop: RecordsShop;
beforeAll(async () => {
  app = await startApp();
});
afterAll(() => app.close());

/** Thirty jobs alike but for their minutes, one of them with minutes typed as hours. */
const slip = 'S-7';
const minutesOf = (i: number) => (i === 7 ? 60 : 1) * (40 + (i % 5));
const jobs = Array.from({ length: 30 }, (_, i) =>
  jobOf(`S-${i}`, {
    finishedAt: new Date(Date.UTC(2025, 0, 1 + i, 15)).toISOString(),
    labour: [{ technician: i % 2 === 0 ? 'mira' : 'odo', minutes: minutesOf(i) }],
  }),
);
beforeEach(async () => {
  shop = await openRecordsShop(app);
  expect((await read<{ accepted: number }>(await shop.upload(linesOf(jobs)))).accepted).toBe(30);
});

let nights = 0;
const night = () =>
  runShop(
    // The database's own clock says when a record was replaced, so this one cannot stand still.
    { db: app.db, now: () => new Date(Date.now() + nights++), compute: async (material) => computeFit(material) },
    shop.shopId,
    randomUUID(),
  );
const doubtful = async () => read<DoubtfulReport>(await shop.get('/reports/doubtful'));
const confirm = (ref: string, key = shop.keys.desk) => app.call('POST', `/v1/records/${ref}/confirm`, { key });

describe('contract: doubtful records', () => {
  it('lists an absurd one with what was expected, and nothing before there is a fit', async () => {
    expect(await doubtful()).toEqual({ answer: expect.stringContaining('none has been read yet'), records: [] });
    await night();
    const { answer, records } = await doubtful();
    expect(answer).toContain('1 record was left out');
    expect(records).toMatchObject([{ ref: slip, state: 'open', canBeConfirmed: true }]);
    const [{ doubts, says }] = records;
    expect(doubts).toMatchObject([{ figure: 'labour', leftOutOf: ['labour'], seen: 42, unit: 'hours' }]);
    expect(doubts[0].expected?.p95).toBeLessThan(2);
    expect(says).toMatch(/^S-7: 42 hours of labour, where .*[^?]\? Mend the record, or confirm that it was so\.$/);
    const csv = await (await shop.get('/reports/doubtful', 'text/csv')).text();
    expect(csv.split('\n')[1]).toMatch(/^S-7,2025-01-08T15:00:00.000Z,open,labour,"?42 hours/);
  });

  it('reads one that was confirmed, from the next night on, though no record changed', async () => {
    await night();
    expect((await confirm(slip)).status).toBe(200);
    expect((await confirm(slip)).status).toBe(200);
    expect((await doubtful()).records).toMatchObject([{ ref: slip, state: 'confirmed', canBeConfirmed: false }]);
    expect((await night()).status).toBe('published');
    expect((await doubtful()).records).toEqual([]);
    expect((await night()).status).toBe('unchanged');
  });

  it('reads an extraction of a few minutes once somebody says that it was so', async () => {
    await confirm(slip);
    await shop.post(jobOf('F-1', { labour: [{ technician: 'odo', minutes: 8 }] }));
    await night();
    const { records } = await doubtful();
    expect(records).toMatchObject([{ ref: 'F-1', state: 'open', canBeConfirmed: true }]);
    expect(records[0]?.says).toContain('labour is 8 minutes in all');
    expect((await confirm('F-1')).status).toBe(200);
    expect((await doubtful()).records).toMatchObject([{ ref: 'F-1', state: 'confirmed' }]);
    await night();
    expect((await doubtful()).records).toEqual([]);
  });

  it('tells one that is odd and read all the same, until it is confirmed', async () => {
    const odd = jobOf('O-1', { labour: [{ technician: 'odo', minutes: 120 }] });
    await shop.post(odd);
    await confirm(slip);
    await night();
    const { answer, records } = await doubtful();
    expect(answer).toBe('1 record looks odd, and is read all the same.');
    expect(records).toMatchObject([{ ref: 'O-1', state: 'open', canBeConfirmed: true }]);
    expect(records[0].doubts).toMatchObject([{ figure: 'labour', leftOutOf: [], seen: 2, unit: 'hours' }]);
    const csv = await (await shop.get('/reports/doubtful', 'text/csv')).text();
    expect(csv.split('\n')[1]).toMatch(/^O-1,[^,]*,open,,/);
    expect((await confirm('O-1')).status).toBe(200);
    await night();
    expect((await doubtful()).records).toEqual([]);
  });

  it('takes the word back when the record is replaced, not when a check is added', async () => {
    await confirm(slip);
    const key = shop.keys.owner;
    await app.call('POST', `/v1/records/${slip}/checks`, { key, json: { hours: 5, dry: true } });
    await night();
    expect((await doubtful()).records).toEqual([]);
    const changed = finishedJob.parse({ ...jobs[7], labour: [{ technician: 'mira', minutes: 60 * 44 }] });
    const put = await app.call('PUT', `/v1/records/${slip}`, { key, json: changed, headers: { 'If-Match': '*' } });
    expect(put.status).toBe(200);
    await night();
    expect((await doubtful()).records).toMatchObject([{ ref: slip, state: 'open' }]);
  });

  it('says of one that contradicts itself that it can only be mended, and of one that was mended that it was', async () => {
    await shop.post(
      jobOf('W-1', { labour: [{ technician: 'odo', minutes: 41 }], sprayedLitres: 4, recoveredLitres: 5 }),
    );
    await night();
    const [open] = (await doubtful()).records;
    expect(open).toMatchObject({ ref: 'W-1', canBeConfirmed: false, doubts: [{ leftOutOf: ['water'] }] });
    expect(open.says).toMatch(/Mend the record\.$/);
    const mended = jobOf('W-1', { labour: [{ technician: 'odo', minutes: 41 }], sprayedLitres: 5, recoveredLitres: 4 });
    const key = shop.keys.owner;
    await app.call('PUT', '/v1/records/W-1', { key, json: mended, headers: { 'If-Match': '*' } });
    expect((await doubtful()).records[0]).toMatchObject({ ref: 'W-1', state: 'changed' });
  });

  it('confirms nothing that contradicts itself, before a night as after it, and says to mend it', async () => {
    const job = jobOf('W-1', { labour: [{ technician: 'odo', minutes: 41 }], sprayedLitres: 5, recoveredLitres: 8 });
    await shop.post(job);
    for (let i = 0; i < 2; i += 1) {
      const refused = await confirm('W-1');
      expect(refused.status).toBe(409);
      expect((await read<ProblemRead>(refused)).detail).toBe(
        'recoveredLitres is 8: more than the 5 sprayed; record "W-1" can only be mended, with PUT: no model reads what does not go together',
      );
      await night();
    }
    expect((await doubtful()).records.find(({ ref }) => ref === 'W-1')).toMatchObject({ state: 'open' });
  });

  it('confirms what is odd in a record that contradicts itself too, and keeps saying to mend the rest', async () => {
    const both = jobOf('W-2', {
      labour: [{ technician: 'odo', minutes: 60 * 41 }],
      sprayedLitres: 5,
      recoveredLitres: 8,
    });
    await shop.post(both);
    await night();
    const standing = async () => (await doubtful()).records.find(({ ref }) => ref === 'W-2');
    expect(await standing()).toMatchObject({ state: 'open', canBeConfirmed: true });
    expect((await confirm('W-2')).status).toBe(200);
    for (const left of [2, 1]) {
      const told = await standing();
      expect(told).toMatchObject({
        state: 'open',
        canBeConfirmed: false,
        says: expect.stringMatching(/Mend the record\.$/),
      });
      expect(told?.doubts).toHaveLength(left);
      await night();
    }
  });

  it('is for the desk; no record of another shop can be confirmed', async () => {
    expect((await confirm(slip, shop.keys.technician)).status).toBe(403);
    expect((await confirm('S-none')).status).toBe(404);
    const other = await app.openShop();
    expect((await confirm(slip, other.keys.owner)).status).toBe(404);
    await inShop(app.db, shop.shopId, async ({ sql }) => {
      expect(await sql`select 1 from job_confirmation`).toHaveLength(0);
    });
  });
});
