import fc from 'fast-check';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { context, storedRecord, technicians } from '../domain/arbitrary-record.ts';
import {
  type AppUnderTest,
  jobOf,
  linesOf,
  openRecordsShop,
  type RecordsShop,
  read,
  startApp,
  type UploadReport,
} from './records-shop.ts';

let app: AppUnderTest;
let shop: RecordsShop;
beforeAll(async () => {
  app = await startApp();
});
beforeEach(async () => {
  shop = await openRecordsShop(app);
});
afterAll(() => app.close());

const section = { area: 'rear-bench', fabric: 'velour', soil: 'light', method: 'spot', wetPasses: 1 };

describe('contract: finished jobs by filter', () => {
  beforeEach(async () => {
    const records = [
      jobOf('a', { finishedAt: '2025-02-01T10:00:00Z' }),
      jobOf('b', { finishedAt: '2025-02-02T00:30:00+01:00', extractor: 'pump-b' }),
      jobOf('c', { finishedAt: '2025-02-02T10:00:00Z', labour: [{ technician: 'odo', minutes: 5 }] }),
      jobOf('d', { finishedAt: '2025-02-03T23:59:59Z', sections: [{ ...section, technician: 'odo' }] }),
      jobOf('e', {
        finishedAt: '2025-02-04T00:00:00Z',
        sections: [section, { ...section, fabric: 'knit', soil: 'severe' }],
      }),
    ];
    expect(await read(await shop.upload(linesOf(records)))).toMatchObject({ accepted: 5 });
  });

  it.each<[string, string[]]>([
    ['', ['a', 'b', 'c', 'd', 'e']],
    ['?order=newest', ['e', 'd', 'c', 'b', 'a']],
    ['?from=2025-02-02', ['c', 'd', 'e']],
    ['?to=2025-02-01', ['a', 'b']],
    ['?from=2025-02-02&to=2025-02-03', ['c', 'd']],
    ['?from=2025-02-02T10:00:00Z&to=2025-02-04T00:00:00Z', ['c', 'd']],
    ['?from=2025-02-01T11:00:00%2B01:00', ['a', 'b', 'c', 'd', 'e']],
    ['?technician=odo', ['c', 'd']],
    ['?technician=mira&extractor=pump-b', ['b']],
    ['?fabric=velour', ['d', 'e']],
    ['?soil=light', ['d', 'e']],
    ['?fabric=knit&soil=light', []],
    ['?fabric=knit&soil=severe', ['e']],
    ['?technician=nobody', []],
  ])('%s', async (query, refs) => {
    expect(await shop.refs(query)).toEqual(refs);
  });

  it('goes on after a job of the first morning of 2000 east of Greenwich', async () => {
    await shop.post(jobOf('first', { finishedAt: '2000-01-01T09:00:00+12:00' }));
    const { next } = await read<{ next: string }>(await shop.get('/records?limit=1'));
    expect(await shop.refs(`?limit=1&cursor=${next}`)).toEqual(['a']);
  });

  it.each([
    '?from=yesterday',
    '?from=0000-01-01',
    '?soil=medium',
    '?limit=0',
    '?limit=1001',
    '?cursor=%00',
    '?cursor=abc',
    '?cursor=WyIyIiwiYSJd',
    '?technicain=odo',
    '?fabric=%00',
  ])('refuses %s', async (query) => {
    expect((await shop.get(`/records${query}`)).status).toBe(422);
  });

  it.each([
    ['?limit=1001', 'limit is "1001": a whole number from 1 to 1000'],
    ['?limit=x', 'limit is "x": a whole number from 1 to 1000'],
    [
      '?from=2025-02-30',
      'from is "2025-02-30": a day, such as 2026-03-14, or an instant with its offset, such as 2026-03-14T16:05:00+01:00',
    ],
    ['/a/versions/0', 'version is "0": a whole number from 1 to 2147483647'],
    ['/%00', 'ref is "\\u0000": text of 1 to 64 characters, no control characters, not one or two dots alone'],
  ])('says what is allowed instead of %s', async (query, detail) => {
    expect(await read(await shop.get(`/records${query}`))).toMatchObject({ status: 422, detail });
  });

  it('counts days where the shop is', async () => {
    await app.db.sql.begin(async (sql) => {
      await sql`select set_config('app.shop_id', ${shop.shopId}, true)`;
      await sql`update shop set time_zone = 'Asia/Tokyo'`;
    });
    const other = await app.call('GET', '/v1/records?to=2025-02-01', { key: shop.keys.desk });
    expect((await read<{ records: { ref: string }[] }>(other)).records.map(({ ref }) => ref)).toEqual(['a']);
  });
});

describe('contract: pages', () => {
  it('every record comes once, though jobs ended at the same time and others come in meanwhile', async () => {
    const finishedAt = '2025-01-01T00:00:00Z';
    const records = Array.from({ length: 25 }, (_, i) => jobOf(`p-${String(i).padStart(2, '0')}`, { finishedAt }));
    await shop.upload(linesOf(records));
    for (const order of ['oldest', 'newest']) {
      const seen: string[] = [];
      let cursor: string | null = '';
      while (cursor !== null) {
        const query: string = `?limit=7&order=${order}${cursor === '' ? '' : `&cursor=${cursor}`}`;
        const page: { records: { ref: string }[]; next: string | null } = await read(
          await shop.get(`/records${query}`),
        );
        seen.push(...page.records.map(({ ref }) => ref));
        if (cursor === '') await shop.post(jobOf(`p-00-${order}`, { finishedAt: '2024-12-31T00:00:00Z' }));
        cursor = page.next;
      }
      const wanted = records.map(({ ref }) => ref);
      expect(seen.filter((ref) => wanted.includes(ref))).toEqual(order === 'oldest' ? wanted : wanted.toReversed());
    }
  });

  it('a Link names the next page in every form', async () => {
    await shop.upload(linesOf([jobOf('a'), jobOf('b'), jobOf('c')]));
    for (const accept of ['application/json', 'application/x-ndjson', 'text/csv']) {
      const first = await shop.get('/records?limit=2', accept);
      const link = /^<\/v1(.*)>; rel="next"$/.exec(first.headers.get('link') ?? '')?.[1] ?? '';
      const second = await shop.get(link, accept);
      expect(second.headers.get('link')).toBeNull();
      expect(await second.text()).toContain('c');
    }
  });
});

describe('contract: what goes out comes in again, unchanged', () => {
  it.each(['application/x-ndjson', 'text/csv'])('as %s, more than one page of it', async (type) => {
    const seen = new Set<string>();
    const records = fc
      .sample(storedRecord, { numRuns: 700, seed: 7 })
      .filter(({ ref }) => !seen.has(ref) && seen.add(ref));
    expect(records.length).toBeGreaterThan(510);
    const source = await laterShop();
    expect(await read(await source.upload(linesOf(records)))).toMatchObject({ accepted: records.length, problems: [] });
    const exported = await source.get('/records', type);
    expect(exported.headers.get('content-type')).toContain(type);
    const text = await exported.text();
    expect(await read<UploadReport>(await source.upload(text, type))).toMatchObject({
      unchanged: records.length,
      problems: [],
    });
    const target = await laterShop();
    expect(await read<UploadReport>(await target.upload(text, type))).toMatchObject({
      accepted: records.length,
      problems: [],
    });
    expect(await (await target.get('/records', type)).text()).toBe(text);
  });

  it('an empty shop gives an empty file with its header', async () => {
    expect(await (await shop.get('/records', 'application/x-ndjson')).text()).toBe('');
    expect(await (await shop.get('/records', 'text/csv')).text()).toMatch(/^ref,finished_at,.*,note\r\n$/);
  });

  /** A shop of the arbitrary records' people and machines, at their time. */
  async function laterShop(): Promise<RecordsShop> {
    const opened = await openRecordsShop(later);
    const key = opened.keys.owner;
    await later.call('PUT', '/v1/technicians', { key, json: technicians.map((one) => ({ key: one, name: one })) });
    const machines = ['m1', 'm2'].map((one) => ({ key: one, name: one, kind: 'extractor', grade: 'standard' }));
    await later.call('PUT', '/v1/machines', { key, json: machines });
    return opened;
  }

  let later: AppUnderTest;
  beforeAll(async () => {
    later = await startApp({ now: () => context.now });
  });
  afterAll(() => later.close());
});
