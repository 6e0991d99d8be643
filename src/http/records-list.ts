import { accepts } from 'hono/accepts';
import type { z } from 'zod';
import { headerCells, rowsOf } from '../domain/csv-rows.ts';
import type { FinishedJob } from '../domain/record.ts';
import { type LocalDay, type PagePlace, type RecordFilter, type RecordPage, readRecordPage } from '../store/records.ts';
import { type Database, inShop } from '../store/shop-scope.ts';
import type { AppDeps } from './env.ts';
import type { RecordContext } from './records-answers.ts';
import { csvText } from './records-csv-text.ts';
import { cursorOf } from './records-cursor.ts';
import type { listQuery } from './records-schemas.ts';

type ListQuery = z.output<typeof listQuery>;

const json = 'application/json';
const ndjson = 'application/x-ndjson';
const csv = 'text/csv';

/** The records that a query asks for, in the form that the client takes. */
export async function listRecords({ db }: AppDeps, c: RecordContext, query: ListQuery): Promise<Response> {
  const media = accepts(c, { header: 'Accept', supports: [json, ndjson, csv], default: json });
  const { shopId, timeZone } = c.get('shop');
  const ask: Asking = { db, shopId, filter: filterOf(query, timeZone), newestFirst: query.order === 'newest' };
  const endless = media !== json && query.limit === undefined;
  const limit = query.limit ?? (endless ? exportPage : defaultPage);
  const first = await readPage(ask, query.cursor, limit);
  c.header('Vary', 'Accept');
  if (endless) return streamed(c, media, ask, first);
  if (first.next) c.header('Link', `<${nextAddress(c, first.next)}>; rel="next"`);
  if (media === json) return c.json({ records: first.records, next: first.next ? cursorOf(first.next) : null }, 200);
  return c.body(`${headOf(media)}${textOf(media, first.records)}`, 200, { 'Content-Type': contentType(media) });
}

const defaultPage = 100;
const exportPage = 500;

interface Asking {
  readonly db: Database;
  readonly shopId: string;
  readonly filter: RecordFilter;
  readonly newestFirst: boolean;
}

/** Each page in a transaction of its own: a slow reader holds no connection. */
function readPage({ db, shopId, filter, newestFirst }: Asking, after: PagePlace | undefined, limit: number) {
  return inShop(db, shopId, (tx) => readRecordPage(tx, filter, { after, limit, newestFirst }));
}

/** All records, page by page as the client takes them; one page is held at a time. */
function streamed(c: RecordContext, media: string, ask: Asking, first: RecordPage): Response {
  return c.body(streamOf(media, ask, first), 200, { 'Content-Type': contentType(media) });
}

/** All records of this kind as CSV or NDJSON, the oldest first: what `listRecords` answers without a limit. */
export async function exportRecords(ask: Omit<Asking, 'newestFirst'>, form: 'csv' | 'ndjson') {
  const [media, all] = [form === 'csv' ? csv : ndjson, { ...ask, newestFirst: false }];
  const body = streamOf(media, all, await readPage(all, undefined, exportPage));
  return { body, contentType: contentType(media) };
}

function streamOf(media: string, ask: Asking, first: RecordPage): ReadableStream<Uint8Array> {
  const encoder = new TextEncoder();
  let page: RecordPage | undefined;
  return new ReadableStream<Uint8Array>({
    async pull(controller) {
      const head = page ? '' : headOf(media);
      page = page ? await readPage(ask, page.next, exportPage) : first;
      controller.enqueue(encoder.encode(`${head}${textOf(media, page.records)}`));
      if (!page.next) controller.close();
    },
  });
}

function headOf(media: string): string {
  return media === csv ? csvText([headerCells]) : '';
}

function textOf(media: string, records: readonly FinishedJob[]): string {
  if (media === csv) return csvText(records.flatMap(rowsOf));
  return records.map((record) => `${JSON.stringify(record)}\n`).join('');
}

function contentType(media: string): string {
  return media === csv ? 'text/csv; charset=utf-8; header=present' : media;
}

function nextAddress(c: RecordContext, next: PagePlace): string {
  const query = new URLSearchParams(c.req.query());
  query.set('cursor', cursorOf(next));
  return `${c.req.path}?${query}`;
}

/** The filter that a query means; its days are those of the shop's clock. */
export function filterOf(
  { from, to, technician, extractor, fabric, soil }: Omit<ListQuery, 'order'>,
  timeZone: string,
): RecordFilter {
  return {
    from: from === undefined ? undefined : momentOf(from, timeZone),
    to: to === undefined ? undefined : momentOf(to, timeZone),
    technician,
    extractor,
    fabric,
    soil,
  };
}

function momentOf(text: string, timeZone: string): Date | LocalDay {
  const isDay = text.length === '2025-03-01'.length;
  return isDay ? { day: text, timeZone } : new Date(text);
}
