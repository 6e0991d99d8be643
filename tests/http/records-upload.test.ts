import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import type { ProblemRead } from './app-under-test.ts';
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

describe('contract: an NDJSON upload', () => {
  it('takes each line alone and tells what became of it', async () => {
    await shop.post(jobOf('old'));
    await shop.post(jobOf('other'));
    const body = linesOf([
      jobOf('new'),
      jobOf('old'),
      '',
      jobOf('other', { note: 'changed' }),
      jobOf('bad', { bodyStyle: 'boat', extractor: 'none' }),
      '{"ref": "cut',
      '[]',
      jobOf('new'),
      jobOf('new', { note: 'twice' }),
    ]);
    const response = await shop.upload(`${body}\r\n`);
    expect(response.status).toBe(200);
    const report = await read<UploadReport>(response);
    expect(report).toMatchObject({ accepted: 1, unchanged: 2, conflicting: 2, rejected: 3 });
    expect(report.problems.map(({ line, ref, errors }) => [line, ref, errors.map(({ field }) => field)])).toEqual([
      [4, 'other', ['ref']],
      [5, 'bad', ['bodyStyle', 'extractor']],
      [6, undefined, ['this']],
      [7, undefined, ['this']],
      [9, 'new', ['ref']],
    ]);
    expect(await shop.refs()).toEqual(['new', 'old', 'other']);
  });

  it('takes all or nothing, and tells of every problem all the same', async () => {
    await shop.post(jobOf('there'));
    const good = Array.from({ length: 1200 }, (_, i) => jobOf(`n-${i}`));
    const bad = [jobOf('n-7', { note: 'twice' }), jobOf('x', { bodyStyle: 'boat' }), jobOf('there', { note: 'x' })];
    const refused = await read<UploadReport>(
      await shop.upload(linesOf([...good, ...bad]), undefined, '?all-or-nothing=true'),
    );
    expect(refused).toMatchObject({ accepted: 0, conflicting: 2, rejected: 1 });
    expect(refused.problems.map(({ line }) => line)).toEqual([1201, 1202, 1203]);
    expect(await shop.refs()).toEqual(['there']);
    const body = linesOf([...good, jobOf('there'), jobOf('n-3')]);
    const taken = await read<UploadReport>(await shop.upload(body, undefined, '?all-or-nothing=true'));
    expect(taken).toMatchObject({ accepted: 1200, unchanged: 2, conflicting: 0, rejected: 0, problems: [] });
    expect(await shop.refs('?limit=1000')).toHaveLength(1000);
  });

  it('checks and stores nothing with dry-run, whatever else was asked', async () => {
    await shop.post(jobOf('there'));
    const records = [
      jobOf('a'),
      jobOf('a'),
      jobOf('there', { note: 'x' }),
      jobOf('b', { labour: [{ technician: 'new', minutes: 1 }] }),
    ];
    for (const more of ['', '&create-missing=true', '&all-or-nothing=true']) {
      const report = await read<UploadReport>(await shop.upload(linesOf(records), undefined, `?dry-run=true${more}`));
      const created = more.includes('create');
      const accepted = more.includes('all') ? 0 : created ? 2 : 1;
      expect(report).toMatchObject({ accepted, unchanged: 1, conflicting: 1, rejected: created ? 0 : 1, dryRun: true });
    }
    expect(await shop.refs()).toEqual(['there']);
    expect(await read(await shop.get('/technicians'))).toHaveLength(2);
  });

  it.each(['', '&all-or-nothing=true'])('creates what its records name when asked %s', async (more) => {
    const labour = [{ technician: 'ada', minutes: 10 }];
    const body = linesOf([jobOf('a', { labour }), jobOf('b', { labour, extractor: 'vat' })]);
    const report = await read<UploadReport>(await shop.upload(body, undefined, `?create-missing=true${more}`));
    expect(report).toMatchObject({ accepted: 2, problems: [] });
    expect(await read(await shop.get('/technicians'))).toContainEqual({ key: 'ada', name: 'ada' });
  });

  it('lists a thousand problems and counts the rest', async () => {
    const report = await read<UploadReport>(await shop.upload('{}\n'.repeat(1005)));
    expect(report).toMatchObject({ rejected: 1005, problemsLeftOut: 5 });
    expect(report.problems).toHaveLength(1000);
  });

  it.each(['', '?all-or-nothing=true', '?dry-run=true'])(
    'tells which lines are doubtful, and what is in them %s',
    async (how) => {
      const body = linesOf([
        jobOf('a'),
        jobOf('b', { extractor: null }),
        jobOf('c', { sprayedLitres: 4, recoveredLitres: 5 }),
      ]);
      const report = await read<UploadReport>(await shop.upload(body, undefined, how));
      expect(report).toMatchObject({ accepted: 3, doubtful: 2 });
      expect(report.doubtfulRecords).toMatchObject([
        { line: 2, ref: 'b', doubts: [{ rule: 'extraction-without-extractor', leftOutOf: [] }] },
        { line: 3, ref: 'c', doubts: [{ rule: 'recovered-exceeds-sprayed', leftOutOf: ['water'] }] },
      ]);
      expect(await read<UploadReport>(await shop.upload(linesOf([jobOf('d')])))).not.toHaveProperty('doubtfulRecords');
    },
  );

  it('an empty upload holds nothing, and a mark at its beginning is no fault', async () => {
    expect(await read(await shop.upload(''))).toMatchObject({ accepted: 0, problems: [] });
    expect(await read(await shop.upload(`\uFEFF${linesOf([jobOf('a')])}`))).toMatchObject({ accepted: 1 });
  });

  it('two uploads of the same refs in opposite order both end, each ref stored once', async () => {
    const records = Array.from({ length: 400 }, (_, i) => jobOf(`r-${i}`));
    const bodies = [linesOf(records), linesOf(records.toReversed()), linesOf(records), linesOf(records.toReversed())];
    const queries = ['', '', '?all-or-nothing=true', '?all-or-nothing=true'];
    const reports = await Promise.all(
      bodies.map(async (body, i) => read<UploadReport>(await shop.upload(body, undefined, queries[i]))),
    );
    expect(reports.reduce((sum, { accepted }) => sum + accepted, 0)).toBe(400);
    expect(reports.reduce((sum, { unchanged }) => sum + unchanged, 0)).toBe(1200);
  });
});

describe('contract: limits and hostile bodies', () => {
  it('a line past its limit is a 413 that names it, and tells what was stored', async () => {
    const long = jobOf('long', { note: 'x'.repeat(300_000) });
    const many = Array.from({ length: 600 }, (_, i) => jobOf(`m-${i}`));
    const response = await shop.upload(linesOf([...many, long, jobOf('after')]));
    expect(response.status).toBe(413);
    const { detail } = await read<ProblemRead>(response);
    expect(detail).toBe('Line 601 is larger than 256000 bytes; 600 records before it are stored');
    expect(await shop.refs('?limit=1000')).toHaveLength(600);
  });

  it('a line past its limit stores nothing where it was all or nothing', async () => {
    const body = linesOf([jobOf('a'), jobOf('long', { note: 'x'.repeat(300_000) })]);
    const response = await shop.upload(body, undefined, '?all-or-nothing=true');
    expect(response.status).toBe(413);
    expect((await read<ProblemRead>(response)).detail).toContain('nothing of this upload is stored');
    expect(await shop.refs()).toEqual([]);
  });

  it('one record past its limit, declared or not, is a 413', async () => {
    const large = JSON.stringify(jobOf('large', { note: 'x'.repeat(1_000_001) }));
    expect((await shop.upload(large, 'application/json')).status).toBe(413);
    const key = shop.keys.owner;
    const headers = { 'Content-Type': 'application/x-ndjson', 'Content-Length': '200000001' };
    expect((await app.call('POST', '/v1/records', { key, headers, body: '{}' })).status).toBe(413);
  });

  it('another content type, charset or compression is a 415', async () => {
    for (const type of ['text/plain', 'application/xml', 'application/json; charset=latin1', ''])
      expect((await shop.upload('{}', type)).status).toBe(415);
    const headers = { 'Content-Type': 'application/json', 'Content-Encoding': 'gzip' };
    expect((await app.call('POST', '/v1/records', { key: shop.keys.owner, headers, body: '{}' })).status).toBe(415);
  });

  it('a body that is no JSON is a 400', async () => {
    for (const body of ['', '{', '{"a":1}{"b":2}', '\u0000', 'NaN'])
      expect((await shop.upload(body, 'application/json')).status).toBe(400);
    expect((await shop.upload(Uint8Array.of(0x22, 0xff, 0x22), 'application/json')).status).toBe(400);
  });

  it.each<[string, string]>([
    ['NUL in a note', '"note": "a\\u0000b"'],
    ['half of a surrogate pair', '"note": "\\ud800"'],
    ['a number past all numbers', '"dilution": 1e999'],
    ['a key of every object', '"__proto__": {"note": 1}'],
    ['a depth that no recursion survives', `"note": ${'['.repeat(50_000)}${']'.repeat(50_000)}`],
    ['a day that never was', '"finishedAt": "2025-02-29T10:00:00Z"'],
    ['a list without end', `"sections": [${'{},'.repeat(60_000)}{}]`],
    ['a null', '"sections": null'],
    ['a far offset in the past', '"finishedAt": "1999-01-01T00:00:00+23:59"'],
  ])('%s is a fault and not ours', async (_, field) => {
    const text = `${JSON.stringify(jobOf('h')).slice(0, -1)}, ${field}}`;
    const response = await shop.upload(text, 'application/json');
    expect(response.status).toBe(422);
    expect(await read<ProblemRead>(response)).toHaveProperty('errors.0.message');
    expect(await read(await shop.upload(text))).toMatchObject({ accepted: 0, rejected: 1 });
  });

  it('a line that is not UTF-8 falls alone', async () => {
    const [before, after] = [Buffer.from(`${linesOf([jobOf('a')])}\n`), Buffer.from(`\n${linesOf([jobOf('b')])}`)];
    const body = Buffer.concat([before, Buffer.from([0x7b, 0xff, 0x7d]), after]);
    expect(await read(await shop.upload(body))).toMatchObject({ accepted: 2, rejected: 1, problems: [{ line: 2 }] });
  });

  it('an offset that the database does not know is stored as its instant', async () => {
    expect((await shop.post(jobOf('far', { finishedAt: '2025-03-04T15:20:00-23:59' }))).status).toBe(422);
    expect((await shop.post(jobOf('far', { finishedAt: '2025-03-04T15:20:00+23:59' }))).status).toBe(201);
  });

  it.each(['%00', '%ff', 'a%0Ab', '%', 'x'.repeat(65)])(
    'a ref that cannot be, %s, is no more than that',
    async (ref) => {
      const response = await shop.get(`/records/${ref}`);
      expect([404, 422]).toContain(response.status);
    },
  );
});
