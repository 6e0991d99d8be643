import { mkdtemp, readdir, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import type { ProblemRead } from './app-under-test.ts';
import {
  type AppUnderTest,
  openRecordsShop,
  type RecordsShop,
  read,
  startApp,
  type UploadReport,
} from './records-shop.ts';

let app: AppUnderTest;
let shop: RecordsShop;
beforeAll(async () => {
  vi.stubEnv('TMPDIR', await mkdtemp(path.join(tmpdir(), 'records-test-'))); // uploads of this file alone
  app = await startApp();
});
beforeEach(async () => {
  shop = await openRecordsShop(app);
});
afterAll(async () => {
  await app.close();
  await rm(tmpdir(), { recursive: true });
  vi.unstubAllEnvs();
});

const header = 'ref,finished_at,body_style,labour,area,fabric,soil,method,wet_passes,note';
const row = (ref: string, area = 'front-seat', note = '') =>
  `${ref},2025-03-04T15:20:00+01:00,sedan,mira:60;odo:30,${area},knit,light,extraction,2,${note}`;

describe('contract: a CSV upload', () => {
  it.each([
    ['CR LF', '\r\n', ''],
    ['LF and a mark', '\n', '\uFEFF'],
    ['CR', '\r', ''],
  ])('takes a row a section, lines ended by %s', async (_, end, mark) => {
    const text = mark + [header, row('a'), row('a', 'rear-bench'), row('b'), ''].join(end);
    expect(await upload(text)).toMatchObject({ accepted: 2, problems: [] });
    const record = await read<{ sections: { area: string }[] }>(await shop.get('/records/a'));
    expect(record.sections.map(({ area }) => area)).toEqual(['front-seat', 'rear-bench']);
  });

  it.each([';', '\t'])('parted by %j, lists still joined by ;', async (delimiter) => {
    const parted = (line: string) =>
      line
        .split(',')
        .map((cell) => `"${cell}"`)
        .join(delimiter);
    expect(await upload([parted(header), parted(row('a'))].join('\n'))).toMatchObject({ accepted: 1, problems: [] });
    expect(await read(await shop.get('/records/a'))).toMatchObject({ labour: [{ minutes: 60 }, { minutes: 30 }] });
  });

  it('tells the line and the column, past cells of several lines and empty lines', async () => {
    const text = [
      header,
      row('a', 'front-seat', '"two\r\nlines, and\rmore"'),
      '',
      row('b'),
      row('b', 'boot'),
      row('c', 'front-seat', 'x'),
      row('c', 'cargo', 'y'),
    ];
    const report = await upload(text.join('\r\n'));
    expect(report).toMatchObject({ accepted: 1, rejected: 2 });
    expect(report.problems).toMatchObject([
      { line: 6, ref: 'b', errors: [{ field: 'area', line: 7, value: 'boot' }] },
      { line: 8, ref: 'c', errors: [{ field: 'note', line: 9 }] },
    ]);
    expect(await read(await shop.get('/records/a'))).toMatchObject({ note: 'two\r\nlines, and\rmore' });
  });

  it('never stores half of a job whose rows do not stand together', async () => {
    const report = await upload([header, row('a'), row('b'), row('a', 'rear-bench'), row('c')].join('\n'));
    expect(report).toMatchObject({ accepted: 2, rejected: 1 });
    expect(await shop.refs()).toEqual(['b', 'c']);
  });

  it('counts a job whose rows do not stand together once, and names the lines on which they begin', async () => {
    const rows = [row('501'), row('502'), row('503'), row('501', 'rear-bench'), row('501', 'cargo'), row('502')];
    const report = await upload([header, ...rows].join('\n'));
    expect(report).toMatchObject({ accepted: 1, rejected: 2 });
    expect(report.problems).toMatchObject([
      { line: 2, ref: '501', errors: [{ line: 2, value: '501' }] },
      { line: 3, ref: '502', errors: [{ line: 3, value: '502' }] },
    ]);
    expect(report.problems.map(({ errors }) => errors[0]?.message)).toEqual([
      'ref is "501": the rows of one job stand together, and its own begin on lines 2 and 5: sort the file by job number',
      'ref is "502": the rows of one job stand together, and its own begin on lines 3 and 7: sort the file by job number',
    ]);
  });

  it('takes rows for one job whatever blanks stand about its ref', async () => {
    expect(await upload([header, row('a13'), row(' a13 ', 'cargo')].join('\n'))).toMatchObject({ accepted: 1 });
    expect(await upload([header, row(' a13'), row('a13', 'cargo')].join('\n'))).toMatchObject({ unchanged: 1 });
    expect(await shop.refs()).toEqual(['a13']);
  });

  it('says of each row without a job number that it lacks one', async () => {
    const report = await upload([header, row(''), row('b'), row('')].join('\n'));
    expect(report).toMatchObject({ accepted: 1, rejected: 2 });
    expect(report.problems.map(({ errors }) => errors.map(({ message }) => message))).toEqual([
      [expect.stringContaining('ref is missing')],
      [expect.stringContaining('ref is missing')],
    ]);
  });

  it('a bad header refuses the file', async () => {
    const response = await shop.upload(`${header},colour\n${row('a')},red`, 'text/csv');
    expect(response.status).toBe(422);
    expect((await read<ProblemRead>(response)).detail).toBe('"colour": not a column here');
  });

  it('a file that breaks off its quoting is refused before anything is stored', async () => {
    const response = await shop.upload(`${header}\n${row('a')}\n${row('b', 'front-seat', '"never ends')}`, 'text/csv');
    expect(response.status).toBe(400);
    expect((await read<ProblemRead>(response)).detail).toMatch(
      /^Line 3: a quoted cell begins here.*nothing of this upload is stored$/,
    );
    expect(await shop.refs()).toEqual([]);
  });

  it('a row past its limit is a 413, and stores nothing', async () => {
    const long = row('b', 'front-seat', 'x'.repeat(300_000));
    const response = await shop.upload([header, row('a'), long].join('\n'), 'text/csv');
    expect(response.status).toBe(413);
    expect((await read<ProblemRead>(response)).detail).toContain('larger than 256000 bytes');
    expect(await shop.refs()).toEqual([]);
  });

  it('bytes that are not UTF-8 and rows of another width fall with their job', async () => {
    const bytes = Buffer.concat([
      Buffer.from(`${header}\n${row('a')}\n${row('b', 'front-seat', 'x')}`),
      Buffer.from([0xff]),
      Buffer.from(`\n${row('c')},more\n${row('d')}`),
    ]);
    const report = await upload(bytes);
    expect(report).toMatchObject({ accepted: 2, rejected: 2 });
    expect(report.problems.map(({ errors }) => errors[0]?.message)).toEqual([
      'line 3 is not UTF-8',
      'line 4 has 11 cells, the header 10',
    ]);
  });

  it('a job of more rows than sections may be is a fault', async () => {
    const report = await upload([header, ...Array.from({ length: 500 }, () => row('a'))].join('\n'));
    expect(report).toMatchObject({ accepted: 0, rejected: 1 });
  });

  it('takes all or nothing, and dry runs, as other uploads do', async () => {
    const text = [header, row('a'), row('b', 'boot')].join('\n');
    expect(await upload(text, '?all-or-nothing=true')).toMatchObject({ accepted: 0, rejected: 1 });
    expect(await upload(text, '?dry-run=true')).toMatchObject({ accepted: 1, rejected: 1 });
    expect(await shop.refs()).toEqual([]);
  });

  it('leaves nothing behind on disk', async () => {
    await upload([header, row('a')].join('\n'));
    await shop.upload('"', 'text/csv');
    expect((await readdir(tmpdir())).filter((name) => name.startsWith('secondpass-upload-'))).toEqual([]);
  });

  it('is refused where it has not even a header; a header alone holds nothing', async () => {
    for (const [text, query] of [
      ['', ''],
      ['\n\n', ''],
      ['\uFEFF', '?all-or-nothing=true'],
    ] as const) {
      const refused = await shop.upload(text, 'text/csv', query);
      expect(await read(refused)).toMatchObject({
        status: 400,
        detail: 'The body is empty: a row with the names of the columns is expected; nothing of this upload is stored',
      });
    }
    expect(await upload(header)).toMatchObject({ accepted: 0, rejected: 0 });
  });

  it.each(['', '\n\n', '\0', ',', header, '\uFEFF', '"a"b', "'"])(
    '%j is no more than an empty or a bad file',
    async (text) => {
      expect((await shop.upload(text, 'text/csv')).status).toBeLessThan(500);
    },
  );

  async function upload(body: string | Buffer, query = ''): Promise<UploadReport> {
    return read(await shop.upload(body, 'text/csv', query));
  }
});
