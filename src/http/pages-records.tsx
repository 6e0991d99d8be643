import { z } from 'zod';
import { readBy } from '../domain/faults.ts';
import { mayDo } from '../domain/vocabulary.ts';
import { type FormState, withFaults } from '../pages/form-input.ts';
import { type FoundJobs, type JobCount, RecordList } from '../pages/records-list.tsx';
import { readLists } from '../store/lists.ts';
import { countRecords, readRecordPage } from '../store/records.ts';
import type { ShopTransaction } from '../store/shop-scope.ts';
import type { AppDeps } from './env.ts';
import type { PageContext } from './pages-env.ts';
import { askedForm } from './pages-form.ts';
import { show } from './pages-show.tsx';
import { cursorOf } from './records-cursor.ts';
import { filterOf } from './records-list.ts';
import { listQuery } from './records-schemas.ts';
import { inOwnShop, newPages, sessionGuard } from './sessions.ts';
import { statusOf } from './status.ts';

/** All finished jobs, to be found by filter. */
export function recordListPages(deps: AppDeps) {
  return newPages().get('/records', sessionGuard(deps)('desk'), (c) => listPage(c, deps));
}

const onePage = 50;
/** Nobody reads further, and counting on would cost every page of a very large shop. */
const mostCounted = 10_000;

const words = z
  .string()
  .max(100)
  .regex(/^[^\p{Cc}]*$/u)
  .describe('at most 100 characters, no control characters');
const pageQuery = listQuery
  .pick({ from: true, to: true, technician: true, extractor: true, fabric: true, soil: true, cursor: true })
  .extend({ words: words.optional() });
type PageQuery = z.output<typeof pageQuery>;

async function listPage(c: PageContext, { db }: AppDeps): Promise<Response> {
  const { input, form } = askedForm(c);
  const read = readBy(pageQuery, input);
  const { lists, found } = await inOwnShop(c, db, async (tx) => ({
    lists: await readLists(tx),
    found: read.ok ? await findJobs(c, tx, read.value) : undefined,
  }));
  const state: FormState = read.ok ? form : withFaults(form, read.faults);
  const page = { title: 'All jobs', wide: true, status: read.ok ? 200 : statusOf.invalid } as const;
  return show(c, page, <RecordList form={state} lists={lists} formats={c.get('formats')} found={found} />);
}

async function findJobs(c: PageContext, tx: ShopTransaction, query: PageQuery): Promise<FoundJobs> {
  const { words: asked, cursor: after, ...rest } = query;
  const filter = { ...filterOf(rest, c.get('session').shop.timeZone), words: asked?.split(/\s+/) };
  const { records, next } = await readRecordPage(tx, filter, { after, limit: onePage, newestFirst: true });
  const all = await counted(tx, {});
  const filtered = Object.values({ asked, ...rest }).some((value) => value !== undefined);
  return {
    jobs: records,
    matching: filtered ? await counted(tx, filter) : all,
    all,
    filtered,
    older: next && addressOf(c, cursorOf(next)),
    newest: after && addressOf(c, undefined),
    mayImport: mayDo(c.get('session').role, 'owner'),
  };
}

async function counted(tx: ShopTransaction, filter: Parameters<typeof countRecords>[1]): Promise<JobCount> {
  const jobs = await countRecords(tx, filter, mostCounted);
  return { jobs: Math.min(jobs, mostCounted), orMore: jobs > mostCounted };
}

/** This list from another place on. */
function addressOf(c: PageContext, cursor: string | undefined): string {
  const kept = Object.entries(c.req.query()).filter(([name, value]) => name !== 'cursor' && value !== '');
  const query = new URLSearchParams(cursor === undefined ? kept : [...kept, ['cursor', cursor]]);
  return query.size === 0 ? '/records' : `/records?${query}`;
}
