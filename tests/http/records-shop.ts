import { type AppUnderTest, read, type ShopUnderTest, startApp } from './app-under-test.ts';

/** An invented shop with two technicians and two machines, and short ways to send records to it. */
export interface RecordsShop extends ShopUnderTest {
  readonly app: AppUnderTest;
  post(record: unknown, query?: string): Promise<Response>;
  upload(body: string | Uint8Array, type?: string, query?: string): Promise<Response>;
  get(path: string, accept?: string): Promise<Response>;
  refs(query?: string): Promise<string[]>;
}

/** An invented job; `ref` tells one from another. */
export function jobOf(ref: string, change: object = {}) {
  return {
    ref,
    finishedAt: '2025-03-04T15:20:00+01:00',
    bodyStyle: 'sedan',
    labour: [{ technician: 'mira', minutes: 195 }],
    extractor: 'drum-a',
    sections: [{ area: 'front-seat', count: 2, fabric: 'knit', soil: 'heavy', method: 'extraction', wetPasses: 2 }],
    ...change,
  };
}

export interface UploadReport {
  readonly accepted: number;
  readonly unchanged: number;
  readonly conflicting: number;
  readonly rejected: number;
  readonly doubtful: number;
  readonly doubtfulRecords?: readonly {
    readonly line: number;
    readonly ref: string;
    readonly doubts: readonly object[];
  }[];
  readonly problems: readonly {
    readonly line: number;
    readonly ref?: string;
    readonly errors: readonly { readonly field: string; readonly message: string; readonly line?: number }[];
  }[];
  readonly problemsLeftOut?: number;
}

export function linesOf(records: readonly unknown[]): string {
  return records.map((record) => (typeof record === 'string' ? record : JSON.stringify(record))).join('\n');
}

export async function openRecordsShop(app: AppUnderTest): Promise<RecordsShop> {
  const shop = await app.openShop();
  const key = shop.keys.owner;
  const put = (path: string, list: unknown) => app.call('PUT', path, { key, json: list });
  await put('/v1/technicians', [
    { key: 'mira', name: 'Mira' },
    { key: 'odo', name: 'Odo' },
  ]);
  await put('/v1/machines', [
    { key: 'drum-a', name: 'Drum A', kind: 'extractor', grade: 'standard' },
    { key: 'pump-b', name: 'Pump B', kind: 'extractor', grade: 'high' },
  ]);
  const get = (path: string, accept = 'application/json') =>
    app.call('GET', `/v1${path}`, { key, headers: { Accept: accept } });
  return {
    ...shop,
    app,
    post: (record, query = '') => app.call('POST', `/v1/records${query}`, { key, json: record }),
    upload: (body, type = 'application/x-ndjson', query = '') =>
      app.call('POST', `/v1/records${query}`, { key, body: body as string, headers: { 'Content-Type': type } }),
    get,
    refs: async (query = '') => {
      const page = await read<{ records: { ref: string }[] }>(await get(`/records${query}`));
      return page.records.map(({ ref }) => ref);
    },
  };
}

export { type AppUnderTest, read, startApp };
