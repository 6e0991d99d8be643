import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type AppUnderTest, type ProblemRead, read, type ShopUnderTest, startApp } from './app-under-test.ts';

let app: AppUnderTest;
let shop: ShopUnderTest;
beforeAll(async () => {
  app = await startApp();
  shop = await app.openShop();
});
afterAll(() => app.close());

const drum = { key: 'drum', name: 'Drum', kind: 'extractor', grade: 'entry' };

describe('contract: the lists of people and machines', () => {
  it('adds and replaces by key, and takes nobody off', async () => {
    expect(await read(await put('technicians', [{ key: 'b', name: 'B', from: '2024-01-31' }]))).toEqual([
      { key: 'b', name: 'B', from: '2024-01-31' },
    ]);
    const list = [
      { key: 'a', name: 'A' },
      { key: 'b', name: 'B.', from: '2024-01-31', until: '2025-02-28' },
    ];
    expect(await read(await put('technicians', list))).toEqual(list);
    expect(await read(await put('technicians', []))).toEqual(list);
    expect(await read(await app.call('GET', '/v1/technicians', { key: shop.keys.technician }))).toEqual(list);
  });

  it.each(['technicians', 'machines'])('changes %s only as they were read, where the request says so', async (list) => {
    const { keys } = await app.openShop();
    const rest = list === 'machines' ? { kind: 'extractor', grade: 'entry' } : {};
    const put = (name: string, tag: string) =>
      app.call('PUT', `/v1/${list}`, {
        key: keys.owner,
        json: [{ key: 'a', name, ...rest }],
        headers: { 'If-Match': tag },
      });
    const get = () => app.call('GET', `/v1/${list}`, { key: keys.technician });
    const seen = (await get()).headers.get('etag') ?? '';
    const both = await Promise.all([put('First', seen), put('Second', seen)]);
    expect(both.map(({ status }) => status).sort()).toEqual([200, 412]);
    const stored = both.find(({ status }) => status === 200);
    const now = await get();
    expect(now.headers.get('etag')).toBe(stored?.headers.get('etag'));
    expect(await read(now)).toEqual(await read(stored as Response));
  });

  it('keeps every field of a machine, and drops those that are not given again', async () => {
    const full = { ...drum, waterLiftKpa: 24.9, airflowM3h: 169.9, heated: false, price: 1200.5, from: '2024-01-01' };
    expect(await read(await put('machines', [full]))).toEqual([full]);
    expect(await read(await put('machines', [drum]))).toEqual([drum]);
  });

  it.each<[string, unknown, string]>([
    ['machines', [{ ...drum, grade: 'hihg' }], '[0].grade is "hihg": one of entry, standard, high; did you mean high?'],
    ['machines', [{ ...drum, liftKpa: 1 }], '[0].liftKpa: not a field here; did you mean waterLiftKpa?'],
    ['machines', [drum, drum], '[1].key is "drum": each key once; [0] has it'],
    [
      'technicians',
      [{ key: 'x', name: 'X', from: '2025-02-01', until: '2025-01-31' }],
      '[0].until is "2025-01-31": not before from, 2025-02-01',
    ],
    [
      'technicians',
      [{ key: 'no spaces', name: 'X' }],
      '[0].key is "no spaces": 1 to 64 letters, digits, dots, dashes or underscores, the first a letter or digit',
    ],
    [
      'technicians',
      [{ key: 'x', name: 'a\0' }],
      '[0].name is "a\\u0000": text of 1 to 120 characters, no control characters',
    ],
    [
      'technicians',
      [{ key: 'x', name: 'X', from: '0000-01-01' }],
      '[0].from is "0000-01-01": a day from 1900 to 2199, such as 2026-03-14',
    ],
    ['technicians', { key: 'x', name: 'X' }, 'this is an object: a list of at most 1000'],
  ])('refuses for %s %j', async (list, json, message) => {
    const response = await put(list, json);
    expect(response.status).toBe(422);
    expect((await read<ProblemRead>(response)).errors.map((fault) => fault.message)).toEqual([message]);
  });

  it('is the owner’s to change', async () => {
    expect((await app.call('PUT', '/v1/machines', { key: shop.keys.desk, json: [drum] })).status).toBe(403);
  });

  function put(list: string, json: unknown) {
    return app.call('PUT', `/v1/${list}`, { key: shop.keys.owner, json });
  }
});
