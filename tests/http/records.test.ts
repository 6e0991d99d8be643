import { afterAll, beforeAll, describe, expect, it } from 'vitest';
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
  shop = await openRecordsShop(app);
});
afterAll(() => app.close());

describe('contract: one finished job', () => {
  it('is stored: 201, where it lies and its ETag; sent again: 200; with other content: 409', async () => {
    const first = await shop.post(jobOf('A/1 ü'));
    expect(first.status).toBe(201);
    expect(first.headers.get('location')).toBe('/v1/records/A%2F1%20%C3%BC');
    expect(await read(first)).toEqual({ ref: 'A/1 ü', outcome: 'stored', version: 1, doubts: [] });
    const again = await shop.post(jobOf('A/1 ü'));
    expect(again.status).toBe(200);
    expect(again.headers.get('etag')).toBe(first.headers.get('etag'));
    expect(await read(again)).toMatchObject({ outcome: 'unchanged', version: 1 });
    const other = await shop.post(jobOf('A/1 ü', { note: 'other' }));
    expect(other.status).toBe(409);
    expect(await read<ProblemRead>(other)).toMatchObject({ errors: [{ pointer: '/ref' }] });
  });

  it('comes back as it was sent, its defaults filled in, fields in the order of the contract', async () => {
    const sent = jobOf('A-2', {
      drying: {
        checks: [
          { hours: 5, dry: true },
          { hours: 2, dry: false },
        ],
        airC: -3.5,
      },
    });
    const posted = await shop.post(sent);
    const got = await shop.get('/records/A-2');
    expect(got.headers.get('etag')).toBe(posted.headers.get('etag'));
    const record = await read<object>(got);
    expect(Object.keys(record)).toEqual([
      'ref',
      'finishedAt',
      'bodyStyle',
      'seatsRemoved',
      'labour',
      'extractor',
      'sections',
      'drying',
    ]);
    expect(record).toMatchObject({
      ...sent,
      seatsRemoved: false,
      drying: {
        airC: -3.5,
        checks: [
          { hours: 2, dry: false },
          { hours: 5, dry: true },
        ],
      },
    });
  });

  it('may write its time with a small t and z, which is the same job as with capitals', async () => {
    const small = await shop.post(jobOf('A-z', { finishedAt: '2025-03-04t15:20:00z' }));
    expect(small.status).toBe(201);
    expect(await read(await shop.get('/records/A-z'))).toMatchObject({ finishedAt: '2025-03-04T15:20:00Z' });
    expect((await shop.post(jobOf('A-z', { finishedAt: '2025-03-04T15:20:00Z' }))).status).toBe(200);
    const found = await shop.get('/records?from=2025-03-04t15:20:00z&to=2025-03-04t15:21:00z');
    expect((await read<{ records: { ref: string }[] }>(found)).records.map(({ ref }) => ref)).toContain('A-z');
  });

  it('says what is doubtful and keeps it', async () => {
    const response = await shop.post(jobOf('A-3', { sprayedLitres: 4, recoveredLitres: 5 }));
    expect(response.status).toBe(201);
    expect(await read(response)).toMatchObject({
      doubts: [{ rule: 'recovered-exceeds-sprayed', leftOutOf: ['water'] }],
    });
  });

  it('is refused with all its faults in one problem', async () => {
    const response = await shop.post(jobOf('A-4', { bodyStyle: 'sedna', extractor: 'drum-x', sprayedLiters: 3 }));
    expect(response.status).toBe(422);
    expect(response.headers.get('content-type')).toBe('application/problem+json');
    const { errors } = await read<ProblemRead>(response);
    expect(errors.map(({ pointer }) => pointer).sort()).toEqual(['/bodyStyle', '/extractor', '/sprayedLiters']);
    expect((await shop.get('/records/A-4')).status).toBe(404);
  });

  it('is only checked with dry-run, which tells of a conflict too', async () => {
    const tried = await shop.post(jobOf('A-5'), '?dry-run=true');
    expect(tried.status).toBe(200);
    expect(await read(tried)).toMatchObject({ outcome: 'stored', dryRun: true });
    expect((await shop.get('/records/A-5')).status).toBe(404);
    await shop.post(jobOf('A-5'));
    expect((await shop.post(jobOf('A-5', { note: 'x' }), '?dry-run=true')).status).toBe(409);
  });

  it('refuses a misspelt option rather than store what was only to be tried', async () => {
    expect((await shop.post(jobOf('A-6'), '?dryrun=true')).status).toBe(422);
    expect((await shop.post(jobOf('A-6'), '?dry-run=yes')).status).toBe(422);
    expect((await shop.get('/records/A-6')).status).toBe(404);
  });

  it('knows a technician at once who was just put on the list', async () => {
    const labour = [{ technician: 'nim', minutes: 60 }];
    expect((await shop.post(jobOf('A-7', { labour }))).status).toBe(422);
    const json = [{ key: 'nim', name: 'Nim' }];
    expect((await app.call('PUT', '/v1/technicians', { key: shop.keys.owner, json })).status).toBe(200);
    expect((await shop.post(jobOf('A-7', { labour }))).status).toBe(201);
  });

  it('creates what it names when asked, for an owner alone', async () => {
    const record = jobOf('A-8', { labour: [{ technician: 'zoe', minutes: 60 }], extractor: 'vat-9' });
    const options = { key: shop.keys.desk, json: record };
    expect((await app.call('POST', '/v1/records?create-missing=true', options)).status).toBe(403);
    expect((await shop.post(record, '?create-missing=true')).status).toBe(201);
    expect(await read(await shop.get('/machines'))).toContainEqual({
      key: 'vat-9',
      name: 'vat-9',
      kind: 'extractor',
      grade: 'standard',
    });
  });

  it('belongs to its shop alone', async () => {
    const other = await openRecordsShop(app);
    await shop.post(jobOf('A-9'));
    expect((await other.get('/records/A-9')).status).toBe(404);
    expect((await other.post(jobOf('A-9', { note: 'theirs' }))).status).toBe(201);
  });

  it('is stored once however often it is sent at once', async () => {
    const statuses = await Promise.all(Array.from({ length: 12 }, async () => (await shop.post(jobOf('A-10'))).status));
    expect(statuses.filter((status) => status === 201)).toHaveLength(1);
    expect(statuses.filter((status) => status === 200)).toHaveLength(11);
  });
});

describe('contract: replace and delete', () => {
  it('replaces by ETag, and the former version can be read', async () => {
    const etag = (await shop.post(jobOf('B-1'))).headers.get('etag') ?? '';
    expect((await put('B-1', jobOf('B-1', { note: 'new' }))).status).toBe(428);
    const replaced = await put('B-1', jobOf('B-1', { note: 'new' }), etag);
    expect(replaced.status).toBe(200);
    expect(await read(replaced)).toMatchObject({ outcome: 'stored', version: 2 });
    const stale = await put('B-1', jobOf('B-1', { note: 'newer' }), etag);
    expect(stale.status).toBe(412);
    expect(stale.headers.get('etag')).toBe(replaced.headers.get('etag'));
    expect(await read(await shop.get('/records/B-1'))).toMatchObject({ note: 'new' });
    expect(await read(await shop.get('/records/B-1/versions'))).toMatchObject({
      current: 2,
      former: [{ version: 1, reason: 'replaced', changedBy: { name: 'owner', role: 'owner', as: 'key' } }],
    });
    expect(await read(await shop.get('/records/B-1/versions/1'))).not.toHaveProperty('note');
    expect(await read(await shop.get('/records/B-1/versions/2'))).toMatchObject({ note: 'new' });
    expect((await shop.get('/records/B-1/versions/3')).status).toBe(404);
  });

  it('changes nothing and keeps no version where the content is the same', async () => {
    await shop.post(jobOf('B-2'));
    const same = await put('B-2', jobOf('B-2'), '*');
    expect(await read(same)).toMatchObject({ outcome: 'unchanged', version: 1 });
  });

  it('counts as accepted what is replaced, and not what stays the same', async () => {
    await shop.post(jobOf('B-8'));
    const accepted = () => Number(/records_accepted_total (\d+)/.exec(app.deps.metrics.text())?.[1]);
    const before = accepted();
    await put('B-8', jobOf('B-8', { note: 'new' }), '*');
    await put('B-8', jobOf('B-8', { note: 'new' }), '*');
    expect(accepted()).toBe(before + 1);
  });

  it('refuses another ref than the address, and to create', async () => {
    await shop.post(jobOf('B-3'));
    expect((await put('B-3', jobOf('B-4'), '*')).status).toBe(422);
    expect((await put('B-none', jobOf('B-none'), '*')).status).toBe(404);
  });

  it('lets one of two writers win who saw the same state', async () => {
    const etag = (await shop.post(jobOf('B-5'))).headers.get('etag') ?? '';
    const answers = await Promise.all(['x', 'y', 'z'].map((note) => put('B-5', jobOf('B-5', { note }), etag)));
    expect(answers.map(({ status }) => status).sort()).toEqual([200, 412, 412]);
  });

  it('deletes, keeps the last content readable, and counts on when the ref comes again', async () => {
    await shop.post(jobOf('B-6'));
    const remove = (headers = {}) => app.call('DELETE', '/v1/records/B-6', { key: shop.keys.owner, headers });
    expect((await remove({ 'If-Match': '"9-0"' })).status).toBe(412);
    expect((await remove()).status).toBe(204);
    expect((await remove()).status).toBe(404);
    expect((await shop.get('/records/B-6')).status).toBe(404);
    expect(await read(await shop.get('/records/B-6/versions'))).toMatchObject({
      current: null,
      former: [{ version: 1, reason: 'deleted' }],
    });
    const again = await shop.post(jobOf('B-6', { note: 'again' }));
    expect(await read(again)).toMatchObject({ outcome: 'stored', version: 2 });
    expect((await put('B-6', jobOf('B-6', { note: 'and again' }), '*')).status).toBe(200);
  });

  it('lets a technician put slips right but not delete, nor read the list', async () => {
    await shop.post(jobOf('B-7'));
    const key = shop.keys.technician;
    const headers = { 'If-Match': '*' };
    const json = jobOf('B-7', { note: 'slip' });
    expect((await app.call('PUT', '/v1/records/B-7', { key, headers, json })).status).toBe(200);
    expect((await app.call('GET', '/v1/records/B-7', { key })).status).toBe(200);
    expect((await app.call('DELETE', '/v1/records/B-7', { key })).status).toBe(403);
    expect((await app.call('GET', '/v1/records', { key })).status).toBe(403);
  });

  function put(ref: string, json: unknown, etag?: string) {
    const headers: Record<string, string> = etag === undefined ? {} : { 'If-Match': etag };
    return app.call('PUT', `/v1/records/${ref}`, { key: shop.keys.owner, json, headers });
  }
});

describe('contract: what is learnt after the work', () => {
  it('a drying check goes in by its hour, once', async () => {
    await shop.post(jobOf('C-1', { drying: { checks: [{ hours: 2, dry: false }] } }));
    const added = await follow('C-1', 'checks', { hours: 6, dry: true });
    expect(added.status).toBe(201);
    expect(await read(added)).toMatchObject({ outcome: 'stored', version: 2 });
    expect((await follow('C-1', 'checks', { hours: 6, dry: true })).status).toBe(200);
    expect(
      (
        await follow('C-1', 'checks', [
          { hours: 4, dry: false },
          { hours: 3, dry: false },
        ])
      ).status,
    ).toBe(201);
    expect(await read(await shop.get('/records/C-1'))).toMatchObject({
      drying: { checks: [{ hours: 2 }, { hours: 3 }, { hours: 4 }, { hours: 6 }] },
    });
    expect(await read(await shop.get('/records/C-1/versions'))).toMatchObject({
      former: [{ reason: 'check' }, { reason: 'check' }],
    });
  });

  it('a check that contradicts is refused and changes nothing', async () => {
    await shop.post(jobOf('C-2', { drying: { checks: [{ hours: 2, dry: true }] } }));
    const refused = await follow('C-2', 'checks', { hours: 3, dry: false });
    expect(refused.status).toBe(422);
    expect((await read<ProblemRead>(refused)).detail).toContain('what was dry does not get wet again');
    expect((await follow('C-2', 'checks', { hours: 3, dri: false })).status).toBe(422);
    expect((await follow('C-2', 'checks', [])).status).toBe(422);
    expect((await follow('C-none', 'checks', { hours: 3, dry: false })).status).toBe(404);
  });

  it('a check that contradicts is named where it stands in the request, in either order', async () => {
    await shop.post(
      jobOf('C-10', {
        drying: {
          checks: [
            { hours: 3, dry: false },
            { hours: 6, dry: true },
          ],
        },
      }),
    );
    const faults = async (json: unknown) =>
      (await read<ProblemRead>(await follow('C-10', 'checks', json))).errors.map(
        ({ pointer, message }) => `${pointer} ${message}`,
      );
    const rule = 'what was dry does not get wet again';
    expect(await faults({ hours: 2, dry: true })).toEqual([
      `/dry dry is true: at 2 h, but it was still wet at 3 h: ${rule}`,
    ]);
    expect(
      await faults([
        { hours: 4, dry: false },
        { hours: 7, dry: false },
      ]),
    ).toEqual([`/1/dry [1].dry is false: at 7 h, but it was dry at 6 h: ${rule}`]);
    expect(await faults({ hours: 6, dry: false })).toHaveLength(1);
    const many = Array.from({ length: 49 }, (_, i) => ({ hours: 7 + i / 10, dry: true }));
    expect(await faults(many)).toEqual([' a record holds at most 50 drying checks']);
  });

  it('a check that lies in the future is refused, whichever way it comes', async () => {
    const soon = { ...jobOf('C-6'), finishedAt: '2025-03-05T09:30:00Z' }; // half an hour ago
    const foretold = (ref: string) => ({ ...soon, ref, drying: { checks: [{ hours: 20, dry: true }] } });
    const rule = 'is 20: not in the future; at most 1.5, as the work ended 0.50 h ago';
    await shop.post(soon);
    for (const json of [
      { hours: 20, dry: true },
      [
        { hours: 1, dry: false },
        { hours: 20, dry: true },
      ],
    ]) {
      const field = Array.isArray(json) ? '[1].hours' : 'hours';
      const refused = await read<ProblemRead>(await follow('C-6', 'checks', json));
      expect(refused).toMatchObject({ status: 422, errors: [{ field, value: 20, message: `${field} ${rule}` }] });
    }
    const headers = { 'If-Match': '*' };
    const put = await app.call('PUT', '/v1/records/C-6', { key: shop.keys.owner, headers, json: foretold('C-6') });
    for (const answer of [await shop.post(foretold('C-7')), put])
      expect(await read<ProblemRead>(answer)).toMatchObject({ status: 422, detail: `drying.checks[0].hours ${rule}` });
    const lines = await read<UploadReport>(await shop.upload(linesOf([foretold('C-8')])));
    expect(lines.problems[0]?.errors).toMatchObject([{ field: 'drying.checks[0].hours' }]);
    const csv = `ref,finished_at,body_style,labour,area,fabric,soil,method,wet_passes,checks
C-9,2025-03-05T09:30:00Z,sedan,mira:195,front-seat,knit,heavy,extraction,2,20:dry`;
    const rows = await read<UploadReport>(await shop.upload(csv, 'text/csv'));
    expect(rows.problems[0]?.errors).toMatchObject([{ field: 'checks', message: expect.stringContaining('future') }]);
    expect((await follow('C-6', 'checks', { hours: 1.5, dry: true })).status).toBe(201);
  });

  it('a comeback goes into the outcome beside what stood there', async () => {
    await shop.post(jobOf('C-3', { outcome: { handover: 'improved' } }));
    expect((await follow('C-3', 'comebacks', { comeback: 'wick-back' })).status).toBe(201);
    expect((await follow('C-3', 'comebacks', { comeback: 'wick-back' })).status).toBe(200);
    expect((await follow('C-3', 'comebacks', { comeback: 'wickback' })).status).toBe(422);
    expect(await read(await shop.get('/records/C-3'))).toMatchObject({
      outcome: { handover: 'improved', comeback: 'wick-back' },
    });
  });

  it('many checks at once lose none', async () => {
    await shop.post(jobOf('C-4'));
    const hours = Array.from({ length: 10 }, (_, i) => i + 1);
    const answers = await Promise.all(hours.map((hour) => follow('C-4', 'checks', { hours: hour, dry: false })));
    expect(answers.map(({ status }) => status)).toEqual(hours.map(() => 201));
    const record = await read<{ drying: { checks: unknown[] } }>(await shop.get('/records/C-4'));
    expect(record.drying.checks).toHaveLength(10);
  });

  it('a record sent again after a follow-up is unchanged, but after a replacement it conflicts', async () => {
    await shop.post(jobOf('C-5'));
    await follow('C-5', 'checks', { hours: 6, dry: true });
    expect((await shop.post(jobOf('C-5'))).status).toBe(200);
    expect(await read(await shop.get('/records/C-5'))).toHaveProperty('drying');
    const headers = { 'If-Match': '*' };
    await app.call('PUT', '/v1/records/C-5', { key: shop.keys.owner, headers, json: jobOf('C-5', { note: 'x' }) });
    expect((await shop.post(jobOf('C-5'))).status).toBe(409);
  });

  function follow(ref: string, what: string, json: unknown) {
    return app.call('POST', `/v1/records/${ref}/${what}`, { key: shop.keys.technician, json });
  }
});
